"""An element that a salt holds as an anion is asked for as that anion, and is not found a second time as a cation."""

import pytest

from examkit.chemistry.backwards import points_to, runs
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.formula import parse
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.specimen import read_specimen
from tests.chemistry.traps.bench import KB, line

MIXTURE = KB.schemes["mixture"]
YELLOW = (("tube", Outcome("precipitate", step="reagent", colours=("yellow",), product="As2S3")),)
GREEN = (("tube", Outcome("precipitate", step="reagent", colours=("green",), texture="gelatinous")),)
BOTH_KINDS = {"As", "Cr", "Mn"}  # elements that the base knows as a cation and in an anion


def metals(ions):
    return {element for ion in ions for element, _number in parse(ion).elements} & BOTH_KINDS


def test_these_are_the_elements_that_are_known_both_ways():
    ions = {kind: [i.formula for i in KB.ions.values() if i.kind == kind] for kind in ("cation", "anion")}
    of_cations, of_anions = ({e for ion in ions[k] for e, _n in parse(ion).elements} for k in ("cation", "anion"))

    assert (of_cations & of_anions) - {"N", "H"} == BOTH_KINDS


def test_no_salt_holds_such_an_element_twice():
    assert [s.formula for s in KB.salts.values() if metals(s.cations) & metals(s.anions)] == []


@pytest.mark.parametrize(
    ("salt", "cations", "anions"),
    [
        ("Na2HAsO4.7H2O", ("Na+",), ("AsO4^3-",)),
        ("KH2AsO4", ("K+",), ("AsO4^3-",)),
        ("NaAsO2", ("Na+",), ("AsO2-",)),
        ("As2S3", ("As3+",), ("S^2-",)),
        ("AsI3", ("As3+",), ("I-",)),
        ("K2CrO4", ("K+",), ("CrO4^2-",)),
        ("KMnO4", ("K+",), ("MnO4-",)),
    ],
)
def test_the_result_asks_for_it_once(salt, cations, anions):
    specimen = read_specimen(KB, salt)

    assert (specimen.cations, specimen.anions) == (cations, anions)


@pytest.mark.parametrize("salt", ["Na2HAsO4.7H2O", "NaAsO2"])
def test_in_the_sulfide_group_arsenic_is_arsenic_and_as_an_anion_it_is_confirmed(salt):
    sulfide, confirmed = line(salt, "group-2"), line(salt, "confirm-anion")

    assert {"As3+", "As5+"} & set(sulfide.points_to)
    assert not {"AsO2-", "AsO4^3-"} & set(sulfide.points_to)
    assert KB.salts[salt].anions[0] in confirmed.points_to


def test_a_yellow_sulfide_points_to_arsenic_as_a_cation_only():
    pointed = points_to(KB, MIXTURE, KB.tests["group-2"], YELLOW)

    assert {"As3+", "As5+", "Cd2+"} <= set(pointed)
    assert [ion for ion in pointed if "AsO" in ion] == []


def test_a_green_hydroxide_points_to_chromium_and_not_to_the_chromate_that_it_was():
    pointed = points_to(KB, MIXTURE, KB.tests["group-3a"], GREEN)

    assert "Cr3+" in pointed
    assert not {"CrO4^2-", "Cr2O7^2-"} & set(pointed)


@pytest.mark.parametrize("scheme", sorted(KB.schemes))
def test_from_where_an_anion_has_become_a_cation_it_is_not_tried_as_an_anion(scheme):
    scheme, changed = KB.schemes[scheme], set()
    for stage in scheme.stages:
        changed |= {ion for ion, form in stage.becomes.items() if parse(ion).charge < 0 and form in scheme.cations}
        test = KB.tests[stage.test]
        if test.portion == "tube":
            tried = {ion for facet in test.facets.values() for run in runs(KB, scheme, test, facet) if run.alone for ion in run.ions}
            assert not tried & changed, stage.test


@pytest.mark.parametrize("oxide", ["As2O3", "arsenic trioxide", "As2O5"])
def test_an_oxide_of_arsenic_is_no_salt_and_is_refused(oxide):
    with pytest.raises(UnknownSubject, match="an oxide, without an anion to find"):
        read_specimen(KB, oxide)
