"""Cautions stand where they belong: on the test, the reagent and the salt that can hurt. Common practice."""

import pytest

from tests.chemistry.traps.bench import KB

CARCINOGENS = ("Ni2+", "Co2+", "CrO4^2-", "Cr2O7^2-", "AsO4^3-", "AsO2-", "Cd2+")
POISONS = ("Pb2+", "Hg2+", "Hg2^2+", "As3+", "AsO4^3-", "AsO2-", "Cd2+", "CrO4^2-", "Cr2O7^2-", "Ni2+", "Co2+")
INSOLUBLE_AND_HARMLESS = {"BaSO4", "HgS"}  # too insoluble to poison; still not for the mouth


def cautions(test):
    return " ".join(KB.tests[test].cautions)


def salts_with(*ions):
    return [salt for salt in KB.salts.values() if set(ions) & set(salt.ions)]


@pytest.mark.parametrize("test", [t for t in sorted(KB.tests) if any(
    use.what == "hydrogen-sulfide" for way in KB.tests[t].operations.values() for use in way)])
def test_hydrogen_sulfide_is_used_in_the_fume_cupboard_only(test):
    assert "fume cupboard" in cautions(test) + KB.tests[test].procedure


def test_its_smell_is_no_warning():
    assert "dulls the sense of smell" in cautions("group-2")
    assert "can no longer be smelled can still kill" in cautions("anion-dilute-acid")


def test_gases_are_smelled_by_wafting():
    assert "wafting" in cautions("anion-dilute-acid")
    assert "wafting" in KB.tests["confirm-anion"].procedure


@pytest.mark.parametrize("reagent", ["sulfuric-acid-dilute", "nitric-acid-dilute", "hydrochloric-acid-dilute"])
def test_acid_is_poured_into_water_and_never_the_reverse(reagent):
    here = KB.reagents[reagent]

    assert "never" in here.procedure + " ".join(here.cautions)
    assert "into" in here.procedure


def test_water_is_never_poured_into_the_hot_acid_of_a_test():
    assert "never water into the acid" in cautions("anion-concentrated-acid")


def test_the_blowpipe_and_the_bead_ask_for_eye_protection():
    for test in ("charcoal-cavity", "borax-bead", "microcosmic-salt-bead", "sodium-carbonate-bead", "flame"):
        assert "ye protection" in cautions(test), test


@pytest.mark.parametrize("salt", [s.formula for s in salts_with("NO3-")])
def test_a_nitrate_that_feeds_fire_is_kept_from_what_burns(salt):
    here = KB.salts[salt]

    if {"H271", "H272"} & set(here.hazards.statements):
        assert "burn" in here.keeping or "oxidiser" in here.hazards.pictograms, salt


@pytest.mark.parametrize("salt", [s.formula for s in salts_with(*POISONS)])
def test_a_poisonous_salt_has_its_hazards(salt):
    if salt not in INSOLUBLE_AND_HARMLESS:
        assert KB.salts[salt].hazards.statements, salt
        assert KB.salts[salt].hazards.signal, salt


@pytest.mark.parametrize("salt", [s.formula for s in salts_with(*CARCINOGENS)])
def test_a_salt_that_causes_cancer_says_so(salt):
    codes = " ".join(KB.salts[salt].hazards.statements)

    assert "H350" in codes or "H351" in codes, salt


@pytest.mark.parametrize("salt", [s.formula for s in salts_with("Ba2+") if s.dissolves_in in ("cold water", "hot water", "dilute HCl")])
def test_barium_that_the_stomach_dissolves_is_marked_as_poison(salt):
    codes = " ".join(KB.salts[salt].hazards.statements)

    assert "H301" in codes or "H302" in codes or "H332" in codes, salt


def test_zinc_and_acid_never_meet_arsenic_or_antimony_unwarned():
    assert "arsine" in " ".join(KB.reagents["zinc"].cautions)
    assert "arsine" in cautions("confirm-anion")


@pytest.mark.parametrize("test", ["anion-silver-nitrate", "confirm-anion", "cobalt-nitrate"])
def test_waste_of_heavy_metals_is_collected(test):
    assert "ollect" in cautions(test)


def test_each_kind_of_waste_has_a_container_of_its_own():
    kept_apart = {element for kind in KB.waste["classes"] for element in kind.get("elements", ())}

    assert {"Hg", "As", "Ag", "Pb", "Ba", "Cd"} <= kept_apart
