"""Traps of sodium hydroxide and ammonia by drops and in excess, and of the trial of solvents."""

from dataclasses import replace

import pytest

from examkit.chemistry.bench import Bench
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.model import SOLVENTS
from examkit.chemistry.specimen import read_specimen
from tests.chemistry.traps.bench import KB, accepted, behaviour, line, record, shown, told

CATIONS = KB.schemes["mixture"].cations
AMPHOTERIC = {"Al3+", "Zn2+", "Pb2+", "Sn2+", "Sn4+", "Cr3+", "Sb3+"}
AMMINES = {"Cu2+", "Zn2+", "Ni2+", "Co2+", "Cd2+", "Ag+"}
TURNED_BY_HCL = ("Pb2+", "Ag+", "Hg2^2+")


def in_excess(ion, **others):
    """The share of 0.02 mol/L of a cation that is dissolved in a reagent."""
    found = solve(KB.constants, mixture({ion: 0.02, "NO3-": 0.04, **others}))
    return found.dissolved[ion] / found.totals[ion]


# ---- excess of sodium hydroxide and of ammonia ----

def test_the_hydroxides_that_an_excess_of_sodium_hydroxide_dissolves():
    assert {ion for ion in CATIONS if behaviour(ion, "naoh") == "dissolves"} == AMPHOTERIC


def test_the_hydroxides_that_an_excess_of_ammonia_dissolves():
    assert {ion for ion in CATIONS if behaviour(ion, "ammonia") == "dissolves"} == AMMINES


def test_chromium_dissolves_in_ammonia_only_slightly_and_either_is_accepted():
    assert "slightly" in told("CrCl3.6H2O", "ammonia", "semimicro")
    assert "dissolves in excess" in accepted("CrCl3.6H2O", "ammonia", "semimicro")


@pytest.mark.parametrize("ion", ["Al3+", "Zn2+", "Pb2+", "Cr3+"])
def test_the_constants_agree_on_strong_alkali(ion):
    assert in_excess(ion, **{"OH-": 1.4, "Na+": 1.4}) > 0.95


@pytest.mark.parametrize("ion", ["Fe3+", "Mg2+", "Ni2+", "Co2+", "Mn2+", "Cd2+"])
def test_and_on_those_that_stay(ion):
    assert in_excess(ion, **{"OH-": 1.4, "Na+": 1.4}) < 0.1


@pytest.mark.parametrize("ion", ["Cu2+", "Ni2+", "Zn2+", "Cd2+", "Ag+"])
def test_the_constants_agree_on_ammonia(ion):
    assert in_excess(ion, NH3=3.0) > 0.9


@pytest.mark.parametrize("ion", ["Al3+", "Fe3+", "Pb2+"])
def test_and_on_those_that_ammonia_leaves(ion):
    """Beside an ammonium salt: strong ammonia alone takes up fresh aluminium hydroxide in part."""
    assert in_excess(ion, **{"NH3": 1.0, "NH4+": 0.5, "Cl-": 0.5}) < 0.2


def test_manganese_hydroxide_browns_in_air():
    for test in ("naoh", "ammonia"):
        seen = {o.step: o.colours for o in shown("MnCl2.4H2O", test, scheme="semimicro")}
        assert seen["drops"][0] == "white"
        assert seen["on standing"][0] == "brown"


def test_iron_ii_hydroxide_is_dirty_green_and_browns_too():
    seen = {o.step: o.colours[0] for o in shown("FeSO4.7H2O", "naoh", scheme="semimicro")}

    assert (seen["drops"], seen["on standing"]) == ("dirty green", "brown")


def test_silver_and_mercury_give_oxides_not_hydroxides():
    assert KB.ions["Ag+"].facts["naoh", "tube"].seen[0].product == "Ag2O"
    assert KB.ions["Hg2+"].facts["naoh", "tube"].seen[0].product == "HgO"


# ---- the trial of solvents ----

def test_solvents_are_tried_in_this_order():
    trial = KB.tests["solubility"].facets["dissolving"].steps

    assert trial == SOLVENTS[:-1]
    assert trial[:3] == ("cold water", "hot water", "dilute HCl")
    assert trial.index("conc HCl") < trial.index("conc HNO3") < trial.index("aqua regia")


@pytest.mark.parametrize("salt", [s.formula for s in KB.salts.values()])
def test_a_salt_dissolves_first_in_the_solvent_that_its_entry_names(salt):
    facts = KB.salts[salt].facts["solubility", "dissolving"]
    wholly = [o.step for o in facts.seen if o.event == "dissolves" and "part" not in (o.texture or "")]

    assert wholly[:1] == [s for s in [KB.salts[salt].dissolves_in] if s != "nothing"]


@pytest.mark.parametrize("salt", [s.formula for s in KB.salts.values()])
def test_a_salt_that_hydrochloric_acid_turns_to_chloride_is_not_dissolved_in_it(salt):
    """Lead, silver and mercury(I): dilute nitric acid, where acid dissolves them at all."""
    here = KB.salts[salt]
    if set(here.cations) & set(TURNED_BY_HCL):
        assert here.dissolves_in not in ("dilute HCl", "conc HCl")


@pytest.mark.parametrize("salt", ["PbCO3", "Pb3(PO4)2", "PbC2O4", "Ag2CO3", "Ag3PO4", "Hg2SO4"])
def test_such_a_salt_is_taken_up_in_dilute_nitric_acid_and_the_line_says_what_the_other_acid_does(salt):
    line_ = line(salt, "solubility")

    assert KB.salts[salt].dissolves_in == "dilute HNO3"
    assert "dissolves in dilute HNO3" in line_.text
    assert "with dilute HCl it" in line_.text and "chloride" in line_.text
    assert record(salt)["group-1"].done


@pytest.mark.parametrize("salt", ["CuS", "PbS", "Bi2S3", "CdS", "HgS"])
def test_a_sulfide_dissolves_as_a_salt_in_what_dissolves_it_as_a_precipitate(salt):
    (cation,) = KB.salts[salt].cations
    rises = any(o.event == "dissolves" for o in KB.ions[cation].facts["nitric-acid-on-sulfides", "tube"].seen)

    assert (KB.salts[salt].dissolves_in == "dilute HNO3") == rises


def test_lead_carbonate_turned_to_chloride_dissolves_hot_and_comes_down_on_cooling():
    assert "dissolves hot and comes down on cooling" in line("PbCO3", "solubility").text


@pytest.mark.parametrize("salt", ["BaSO4", "SrSO4", "PbSO4", "AgCl", "Hg2Cl2", "CaF2"])
def test_of_what_stays_the_anion_is_sought_in_another_way(salt):
    assert KB.salts[salt].dissolves_in == "nothing"
    assert record(salt)["group-1"].why_not == "not possible: the salt does not dissolve, even in acid"
    assert record(salt)["confirm-anion"].done
    assert set(KB.salts[salt].anions) <= {
        ion for here in record(salt).values() if here.done for ion in here.observation.points_to
    }


def test_where_a_part_stays_behind_the_clear_liquid_goes_on():
    bench = Bench(KB, KB.schemes["mixture"], read_specimen(KB, "BaSO4 + ZnSO4.7H2O"))

    assert bench.in_solution == ("Zn2+",)
    assert bench.in_residue == ("Ba2+",)


# ---- nothing depends on how a school numbers its groups ----

@pytest.mark.parametrize("scheme", ["semimicro", "school-groups", "mixture"])
@pytest.mark.parametrize("salt", ["NiCl2.6H2O", "Al2(SO4)3.18H2O", "BaCl2.2H2O"])
def test_other_numerals_change_titles_and_nothing_else(scheme, salt):
    old = KB.schemes[scheme]
    named = {group: f"G{index}" for index, group in enumerate(old.groups)}
    other = replace(
        old,
        stages=tuple(replace(stage, group=named.get(stage.group, "")) for stage in old.stages),
        groups={named[group]: about for group, about in old.groups.items()},
    )
    renamed = replace(KB, schemes={**KB.schemes, scheme: other})

    def seen(kb):
        lines = expect(kb, read_specimen(kb, salt), scheme).as_json()["lines"]
        return [(each["test"], each["done"], each["seen"], each["points_to"], each["rules_out"]) for each in lines]

    assert seen(renamed) == seen(KB)
