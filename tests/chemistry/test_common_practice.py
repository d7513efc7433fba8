"""What a practitioner infers at each test, computed by running the syllabus forwards.

Source of every set below: common practice, no source. The sets are what the trade teaches; the program
computes its own, which must hold them.
"""

import pytest

from examkit.chemistry.backwards import points_to, rules_out
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.specimen import read_specimen

COLOURED_OXIDES = {"Cu2+", "Co2+", "Cr3+", "Ni2+", "Mn2+", "Fe2+", "Fe3+"}


@pytest.fixture(scope="module")
def back(kb, scheme):
    """`back("flame", ("flame", outcome))` -> (points to, rules out) as sets."""

    def run(test, *seen):
        return set(points_to(kb, scheme, kb.tests[test], seen)), set(
            rules_out(kb, scheme, kb.tests[test], seen)
        )

    return run


def test_a_salt_that_takes_up_moisture_suggests_chlorides_or_nitrates_of_six_metals(back):
    pointed, _out = back("appearance", ("moisture", Outcome("dissolves", step="in air")))

    assert pointed >= {"Cu2+", "Ni2+", "Co2+", "Mg2+", "Ca2+", "Zn2+", "Cl-", "NO3-"}


def test_each_of_the_six_metals_has_a_chloride_or_nitrate_that_takes_up_moisture(kb):
    damp = [salt for salt in kb.salts.values() if salt.moisture in ("hygroscopic", "deliquescent")]
    metals = {salt.cations[0] for salt in damp if {"Cl-", "NO3-"} & set(salt.anions)}

    assert metals >= {"Cu2+", "Ni2+", "Co2+", "Mg2+", "Ca2+", "Zn2+"}
    assert not metals & {"Ba2+", "Sr2+", "Pb2+", "K+"}


def test_a_green_salt_suggests_nickel_or_copper_and_iron_and_chromium_where_taught(back):
    pointed, out = back("appearance", ("colour", Outcome("colour", colours=("green",))))

    assert pointed == {"Ni2+", "Cu2+", "Fe2+", "Cr3+"}
    assert "Co2+" in out


def test_a_coloured_residue_on_dry_heating_points_to_the_coloured_oxides(back):
    pointed, _out = back(
        "dry-heating",
        ("residue", Outcome("residue", step="hot", colours=("black",))),
        ("residue", Outcome("residue", step="cold", colours=("black",))),
    )

    assert pointed == COLOURED_OXIDES


def test_a_grey_black_or_brown_cavity_residue_points_to_nickel_cobalt_manganese_iron(back):
    pointed, _out = back("charcoal-cavity", ("residue", Outcome("residue", colours=("grey",))))

    assert pointed == {"Ni2+", "Co2+", "Mn2+", "Fe2+", "Fe3+"}


def test_no_distinct_flame_rules_out_the_ions_that_colour_it(back):
    pointed, out = back("flame", ("flame", Outcome("none", step="naked eye")))

    assert pointed == set()
    assert out == {"Cu2+", "Ba2+", "Ca2+", "Sr2+", "Pb2+"} | {
        "Na+",
        "K+",
    }  # the last two are in this syllabus


def test_a_bead_reddish_brown_in_the_cold_oxidising_flame_is_nickel(back):
    pointed, _out = back(
        "borax-bead", ("bead", Outcome("bead", step="oxidising cold", colours=("reddish brown",)))
    )

    assert pointed == {"Ni2+"}


def test_no_ammonia_with_alkali_rules_out_ammonium(back):
    assert back("ammonium", ("gas", Outcome("none", step="warm"))) == (set(), {"NH4+"})


@pytest.mark.parametrize(
    ("group", "absent"),
    [
        ("group-1", {"Pb2+"}),
        ("group-2", {"Cu2+", "Pb2+"}),
        ("group-3a", {"Fe3+", "Fe2+", "Al3+", "Cr3+"}),
        ("group-3b", {"Co2+", "Ni2+", "Mn2+", "Zn2+"}),
        ("group-4", {"Ba2+", "Sr2+", "Ca2+"}),
        ("group-5", {"Mg2+"}),
    ],
)
def test_nothing_with_the_group_reagent_means_that_the_group_is_absent(back, scheme, group, absent):
    pointed, out = back(group, ("tube", Outcome("none", step="reagent")))

    assert pointed == set()
    assert out >= absent
    assert not out & (set(scheme.cations) - absent - {"Fe3+"})  # iron(III) would give sulfur with H2S


def test_a_black_precipitate_in_the_ammoniacal_sulfide_group_is_nickel_or_cobalt(back):
    pointed, _out = back("group-3b", ("tube", Outcome("precipitate", step="reagent", colours=("black",))))

    assert pointed == {"Ni2+", "Co2+"}


def test_sodium_hydroxide_pale_green_after_that_group_is_nickel(back, kb, scheme):
    pointed, _out = back(
        "naoh",
        ("tube", Outcome("precipitate", step="drops", colours=("pale green",))),
        ("tube", Outcome("none", step="excess")),
    )
    sulfide_group = set(scheme.groups["IIIB"]["cations"])

    assert pointed & sulfide_group == {"Ni2+"}


def test_ammonia_and_dimethylglyoxime_scarlet_confirms_nickel(back):
    scarlet = Outcome("precipitate", step="reagent", colours=("scarlet",))

    assert back("confirm-cation", ("dimethylglyoxime", scarlet))[0] == {"Ni2+"}


def test_the_whole_record_of_nickel_chloride_leads_to_nickel(kb):
    record = expect(kb, read_specimen(kb, "NiCl2.6H2O")).as_json()
    lines = {line["test"]: line for line in record["lines"]}

    assert set(lines["appearance"]["points_to"]) == {"Ni2+", "Cu2+", "Fe2+", "Cr3+", "Cl-", "NO3-"}
    assert set(lines["dry-heating"]["points_to"]) == COLOURED_OXIDES
    assert set(lines["charcoal-cavity"]["points_to"]) == {"Ni2+", "Co2+", "Mn2+", "Fe2+", "Fe3+"}
    assert lines["cobalt-nitrate"]["done"] is False
    assert set(lines["flame"]["rules_out"]) >= {"Cu2+", "Ba2+", "Ca2+", "Sr2+", "Pb2+"}
    assert lines["borax-bead"]["points_to"] == ["Ni2+"]
    assert lines["ammonium"]["rules_out"] == ["NH4+"]
    assert lines["group-3b"]["points_to"] == ["Co2+", "Ni2+"]
    assert [lines[group]["done"] for group in ("group-4", "group-5")] == [False, False]
    assert lines["naoh"]["points_to"] == ["Ni2+"]
    assert lines["confirm-cation"]["points_to"] == ["Ni2+"]
    assert lines["anion-concentrated-acid"]["points_to"] == ["Cl-"]
    assert lines["anion-silver-nitrate"]["points_to"] == ["Cl-"]
    assert lines["confirm-anion"]["points_to"] == ["Cl-"]
