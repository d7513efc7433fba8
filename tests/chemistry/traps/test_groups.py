"""Traps of the groups: lead twice, sulfur that is no sulfide, acidity, ammonium chloride, iron, phosphate."""

from dataclasses import replace

import pytest

from examkit.chemistry.bench import walk
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.specimen import read_specimen
from examkit.chemistry.tube import LEFT, Fraction, split
from tests.chemistry.traps.bench import KB, accepted, colours, line, record, salts_of, shown, told

SEMIMICRO = KB.schemes["semimicro"]
MIXTURE = KB.schemes["mixture"]
DIVALENT = ("Mg2+", "Mn2+", "Zn2+", "Co2+", "Ni2+")
TRIVALENT = ("Fe3+", "Al3+", "Cr3+")


def falls(ion, totals, **options):
    """The share of an ion that is a solid when the mixture is at rest."""
    found = solve(KB.constants, mixture(totals, **options))
    return 1 - found.dissolved[ion] / found.totals[ion]


def as_sulfide(ion, acid):
    """The share of 0.02 mol/L of a cation that is sulfide, from so much hydrochloric acid, mol/L."""
    totals = {ion: 0.02, "NO3-": 0.04, "H+": acid, "Cl-": acid}
    found = solve(KB.constants, mixture(totals, saturated=(("H2S", 0.1),)))
    return sum(amount for solid, amount in found.solids.items() if "S" in solid) / 0.02


# ---- lead, once white and once black ----

@pytest.mark.parametrize("salt", ["Pb(NO3)2", "Pb(CH3COO)2.3H2O", "PbCl2"])
def test_lead_falls_white_in_the_chloride_group_and_black_again_in_the_next(salt):
    assert colours(salt, "group-1") == ["white"]
    assert colours(salt, "group-2") == ["black"]
    assert "Pb2+" in line(salt, "group-2").points_to


def test_lead_chloride_dissolves_in_hot_water_and_in_the_cold_in_part():
    assert [o.step for o in shown("PbCl2", "solubility", "dissolving")] == ["hot water"]
    assert "partly dissolves in cold water" in accepted("PbCl2", "solubility")


def test_hot_water_takes_lead_chloride_out_of_the_others():
    precipitate, solution = split(KB, "hot-water-on-chlorides", Fraction(("Pb2+", "Ag+", "Hg2^2+"), (), True))

    assert (set(precipitate.cations), solution.cations) == ({"Ag+", "Hg2^2+"}, ("Pb2+",))


def test_silver_and_mercury_i_leave_nothing_for_the_next_group():
    assert split(KB, "group-1", Fraction(("Ag+", "Hg2^2+")))[1].cations == ()


# ---- sulfur from an oxidant ----

@pytest.mark.parametrize(
    "salt", ["FeCl3.6H2O", "Fe2(SO4)3.9H2O", "K2CrO4", "K2Cr2O7", "KMnO4", "NaNO2", "Na2SO3"]
)
def test_an_oxidant_gives_pale_sulfur_with_hydrogen_sulfide_which_is_not_the_group(salt):
    sulfur = shown(salt, "group-2")[0]

    assert (sulfur.event, sulfur.product) == ("precipitate", "S")
    assert set(sulfur.colours) <= {"white", "pale yellow"}
    assert split(KB, "group-2", Fraction(*(read_specimen(KB, salt).cations, read_specimen(KB, salt).anions)))[
        0
    ].cations == ()


@pytest.mark.parametrize("salt", ["KNO3", "Zn(NO3)2.6H2O", "Mg(NO3)2.6H2O"])
def test_a_nitrate_may_give_sulfur_in_hot_or_strong_acid_and_either_is_accepted(salt):
    assert shown(salt, "group-2") == ()
    assert "turbidity" in accepted(salt, "group-2")
    assert line(salt, "group-2").margin == "marginal"


def test_sulfur_is_told_from_a_sulfide_and_points_to_the_oxidants_only():
    pointed = set(line("FeCl3.6H2O", "group-2").points_to)

    assert {"Fe3+", "NO2-", "CrO4^2-", "MnO4-"} <= pointed
    assert not pointed & {"Cd2+", "As3+", "Sn4+"}


def test_chromate_turns_green_and_permanganate_loses_its_purple_with_the_sulfur():
    assert "green" in told("K2CrO4", "group-2")
    assert "purple goes" in told("KMnO4", "group-2")


def test_a_black_sulfide_hides_the_sulfur_which_is_accepted():
    assert colours("FeCl3.6H2O + CuSO4.5H2O", "group-2") == ["black"]
    assert "turbidity" in accepted("FeCl3.6H2O + CuSO4.5H2O", "group-2")


# ---- acidity ----

@pytest.mark.parametrize("ion", ["Cd2+", "Pb2+", "Sn2+", "Cu2+"])
def test_at_0_3_molar_acid_the_sulfides_of_the_group_fall(ion):
    assert as_sulfide(ion, 0.3) > 0.98


@pytest.mark.parametrize("ion", ["Cd2+", "Sn2+", "Pb2+"])
def test_in_stronger_acid_cadmium_tin_and_lead_stay_behind(ion):
    assert as_sulfide(ion, 6.0) < 0.5


def test_zinc_falls_where_there_is_too_little_acid():
    assert as_sulfide("Zn2+", 0.01) > 0.9
    assert as_sulfide("Zn2+", 0.3) < 0.01


@pytest.mark.parametrize("ion", ["Ni2+", "Co2+", "Fe2+", "Mn2+"])
def test_the_ions_of_the_later_groups_stay_in_0_3_molar_acid(ion):
    assert as_sulfide(ion, 0.3) < 0.01


def test_more_acid_never_brings_down_more_cadmium():
    shares = [as_sulfide("Cd2+", acid) for acid in (0.1, 0.3, 1.0, 2.0, 4.0)]

    assert shares == sorted(shares, reverse=True)


# ---- iron, and what ammonium chloride keeps in solution ----

def unoxidised(scheme):
    """The scheme without the nitric acid before the hydroxide group."""
    stages = tuple(replace(s, becomes={k: v for k, v in s.becomes.items() if k != "Fe2+"}) for s in scheme.stages)
    return replace(scheme, stages=stages, stops_at_first_group=False)


def test_oxidised_iron_falls_reddish_brown_and_all_of_it():
    assert colours("FeSO4.7H2O", "group-3a") == ["reddish brown"]
    assert record("FeSO4.7H2O", "semimicro")["group-3b"].done is False


def test_unoxidised_iron_falls_dirty_green_in_part_and_passes_on_as_black_sulfide():
    visits = {v.test.id: v for v in walk(KB, unoxidised(SEMIMICRO), read_specimen(KB, "FeSO4.7H2O"))}

    assert visits["group-3a"].sights[0].seen[0].colours[0] == "dirty green"
    assert "Fe2+" in visits["group-3b"].portion.ions
    assert visits["group-3b"].sights[0].seen[0].product == "FeS"


def test_ammonium_chloride_holds_part_of_iron_ii_and_nothing_of_iron_iii():
    buffer = {"NH3": 0.15, "NH4+": 2.0, "Cl-": 2.0}

    assert 0.02 < 1 - falls("Fe2+", {"Fe2+": 0.05, "NO3-": 0.1, **buffer}) < 0.5
    assert falls("Fe3+", {"Fe3+": 0.03, "NO3-": 0.09, **buffer}) > 0.99


@pytest.mark.parametrize("ion", DIVALENT)
def test_ammonium_chloride_keeps_the_divalent_ions_out_of_the_hydroxide_group(ion):
    salt = {ion: 0.05, "NO3-": 0.10, "NH3": 0.2}

    assert falls(ion, {**salt, "NH4+": 2.0, "Cl-": 2.0}) < 0.01
    assert split(KB, "group-3a", Fraction((ion,)))[0].cations == ()


@pytest.mark.parametrize("ion", DIVALENT)
def test_without_ammonium_chloride_the_first_ammonia_throws_them_down(ion):
    assert falls(ion, {ion: 0.05, "NO3-": 0.10, "NH3": 0.08}) > 0.1
    assert colours(salts_of(ion)[0], "ammonia", scheme="semimicro")[:1]


@pytest.mark.parametrize("ion", TRIVALENT)
def test_the_trivalent_hydroxides_fall_in_spite_of_ammonium_chloride(ion):
    assert falls(ion, {ion: 0.05, "NO3-": 0.15, "NH3": 0.4, "NH4+": 2.0, "Cl-": 2.0}) > 0.99
    assert split(KB, "group-3a", Fraction((ion,)))[0].cations == (ion,)


@pytest.mark.parametrize("ion", ["Mg2+", "Mn2+", "Zn2+"])
def test_an_ammonium_salt_beside_it_keeps_the_hydroxide_down_with_ammonia_too(ion):
    specimen = f"{salts_of(ion)[0]} + NH4Cl"

    assert [o for o in shown(specimen, "ammonia", scheme="semimicro") if o.step != "on standing"] == []


# ---- interfering anions ----

@pytest.mark.parametrize("anion", ["PO4^3-", "C2O4^2-", "F-", "B4O7^2-", "AsO4^3-"])
@pytest.mark.parametrize("cation", ["Ba2+", "Sr2+", "Ca2+", "Mg2+"])
def test_an_interfering_anion_takes_the_alkaline_earths_into_the_hydroxide_group(cation, anion):
    fallen, left = split(KB, "group-3a", Fraction((cation,), (anion,)))

    assert (fallen.cations, left.cations) == ((cation,), ())


def test_phosphate_takes_manganese_along_too():
    assert split(KB, "group-3a", Fraction(("Mn2+",), ("PO4^3-",)))[0].cations == ("Mn2+",)


@pytest.mark.parametrize("anion", ["Cl-", "NO3-", "SO4^2-", "CH3COO-"])
def test_other_anions_leave_them_in_solution(anion):
    assert split(KB, "group-3a", Fraction(("Ca2+", "Mg2+"), (anion,)))[0].cations == ()


@pytest.mark.parametrize("salt", ["Ca3(PO4)2", "BaC2O4", "SrF2", "CaHPO4.2H2O"])
def test_removed_first_they_answer_in_their_own_group(salt):
    assert shown(salt, "group-3a") == ()
    assert colours(salt, "group-4") == ["white"]


def test_what_is_not_removed_falls_with_the_hydroxides_and_not_again():
    assert colours("Ca3(PO4)2", "group-3a", scheme="semimicro") == ["white"]
    assert "Ca2+" in line("Ca3(PO4)2", "group-3a", "semimicro").points_to
    assert record("Ca3(PO4)2", "semimicro")["group-4"].done is False


# ---- barium, strontium, calcium ----

def test_barium_is_taken_with_chromate_then_strontium_with_sulfate_then_calcium_with_oxalate():
    order = [s.test for s in MIXTURE.stages if s.test.endswith("-on-acetates")]
    left = Fraction(("Ba2+", "Sr2+", "Ca2+"))
    fallen = []
    for test in order:
        precipitate, left = split(KB, test, left)
        fallen.append(precipitate.cations)

    assert order == ["chromate-on-acetates", "sulfate-on-acetates", "oxalate-on-acetates"]
    assert fallen == [("Ba2+",), ("Sr2+",), ("Ca2+",)]


def test_barium_sulfate_falls_at_once_strontium_slowly_and_calcium_from_strong_solutions_only():
    sulfate = {"SO4^2-": 0.05, "Na+": 0.1, "NO3-": 0.02}

    assert falls("Ba2+", {"Ba2+": 0.01, **sulfate}) > 0.99
    assert 0.5 < falls("Sr2+", {"Sr2+": 0.01, **sulfate}) < 0.999
    assert falls("Ca2+", {"Ca2+": 0.01, **sulfate}) < 0.01
    calcium = KB.ions["Ca2+"].facts["confirm-cation", "sulfuric-acid"]
    assert not calcium.seen[0].seen and calcium.also[0].seen[0].product == "CaSO4.2H2O"
    assert "slow" in told("SrCl2.6H2O", "confirm-cation")


def test_barium_and_strontium_sulfate_are_insoluble_and_gypsum_sparingly_soluble():
    dissolving = {name: KB.salts[name].dissolves_in for name in ("BaSO4", "SrSO4", "CaSO4.2H2O")}

    assert dissolving == {"BaSO4": "nothing", "SrSO4": "nothing", "CaSO4.2H2O": "dilute HCl"}
    assert "slightly soluble" in KB.salts["CaSO4.2H2O"].keeping


@pytest.mark.parametrize("salt", ["BaSO4", "SrSO4"])
def test_an_insoluble_sulfate_is_opened_with_sodium_carbonate(salt):
    assert record(salt)["soda-on-residue"].done
    assert record(salt)["anion-barium-chloride"].done
    assert line(salt, "anion-barium-chloride").points_to
    assert LEFT in {stage.takes for stage in MIXTURE.stages}
