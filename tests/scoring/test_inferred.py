"""Inferences judged: subsets, extras, groups, firmness, and the error carried forward."""

from fractions import Fraction

import pytest

from grading.scoring.lines import score_line
from tests.reading.bench import bench, expected

NICKEL = "NiCl2.6H2O"


def inferred(test, inference, observation=None, specimen=NICKEL, mark_scheme="common"):
    """The award for an inference, beside the expected observation or another one."""
    record = expected(specimen)
    line = next(line for line in record["lines"] if line["test"] == test)
    seen = line["text"] if observation is None else observation
    present = (*record["cations"], *record["anions"])
    return score_line(bench(mark_scheme), line, present, seen, inference).inference


@pytest.mark.parametrize(
    "text",
    ["Ni2+", "Ni2+ may be present", "Ni2+ or Cu2+ may be present", "may be Ni, Cu", "Cu2+ may be present"],
)
def test_any_of_the_ions_pointed_to_is_right(text):
    assert inferred("appearance", text).share == 1


def test_one_wrong_ion_of_several_halves_and_more_leave_nothing():
    assert inferred("group-3b", "Ni2+ or Zn2+ may be present").share == Fraction(1, 2)
    assert inferred("group-3b", "Ni2+, Co2+ or Zn2+ may be present").share == Fraction(1, 2)
    assert inferred("group-3b", "Ni2+, Zn2+, Ba2+ or Mg2+ may be present").share == 0
    assert inferred("group-3b", "Ni2+ or Zn2+ may be present", mark_scheme="no-halves").share == 0


def test_a_wrong_ion_alone_earns_nothing():
    given = inferred("group-3b", "Zn2+ present")

    assert given.share == 0
    assert "points to" in given.reason


@pytest.mark.parametrize(
    ("test", "text"),
    [
        ("group-1", "group I absent"),
        ("group-2", "Group II absent"),
        ("group-3a", "group IIIA absent"),
        ("group-2", "2nd group absent"),
        ("group-2", "Cu2+ absent"),
        ("ammonium", "NH4+ absent"),
        ("flame", "Ba2+, Sr2+, Ca2+ absent"),
        ("group-3a", "Al3+, Cr3+ absent"),
    ],
)
def test_what_is_ruled_out_is_rightly_said_to_be_absent(test, text):
    assert inferred(test, text).share == 1


def test_an_ion_that_is_not_ruled_out_is_not_absent():
    assert inferred("flame", "Ni2+ absent").share == 0


def test_only_absent_ions_where_some_are_pointed_to_earn_a_part():
    assert inferred("group-3b", "Zn2+ absent").share == Fraction(1, 2)


def test_the_group_the_family_or_the_gas_alone_earn_half_where_an_ion_could_be_named():
    assert inferred("group-3b", "group IIIB present").share == Fraction(1, 2)
    assert inferred("group-3b", "group IIIB present", mark_scheme="mixture").share == 1
    assert inferred("group-4", "alkaline earth metal", specimen="BaCl2.2H2O").share == Fraction(1, 2)
    assert inferred("anion-dilute-acid", "CO2", specimen="Na2CO3.10H2O").share == Fraction(1, 2)
    assert inferred("anion-dilute-acid", "SO2", specimen="Na2CO3.10H2O").share == 0
    assert inferred("anion-dilute-acid", "CO2, so carbonate", specimen="Na2CO3.10H2O").share == 1


def test_a_right_ion_that_does_not_follow_from_what_was_recorded_earns_nothing():
    assert inferred("group-3b", "Ni2+", "white ppt").share == 0
    assert inferred("group-3b", "Ni2+", "no ppt").share == 0
    assert inferred("group-3b", "Ni2+", "").share == 0


def test_a_colour_that_was_left_out_does_not_cost_the_inference():
    assert inferred("group-3b", "Ni2+", "ppt").share == 1


def test_confirmed_is_too_firm_where_several_ions_fit_if_the_scheme_says_so():
    assert inferred("appearance", "Ni2+ confirmed").share == 1
    assert inferred("appearance", "Ni2+ confirmed", mark_scheme="mixture").share == Fraction(1, 2)
    assert inferred("confirm-cation", "Ni2+ confirmed").share == 1


def test_nothing_written_earns_nothing():
    assert inferred("group-3b", "").reason == "Nothing is written."


def test_an_inference_that_follows_from_a_wrong_observation_is_carried_forward():
    given = inferred("group-3b", "Zn2+ may be present", "white ppt")

    assert (given.share, given.carried) == (1, True)
    assert "error is carried forward" in given.reason


def test_nothing_is_carried_where_the_scheme_says_so():
    assert inferred("group-3b", "Zn2+ may be present", "white ppt", mark_scheme="no-halves").share == 0


def test_nothing_is_carried_from_an_empty_field():
    given = inferred("group-3b", "Zn2+ may be present", "")

    assert (given.share, given.carried) == (0, False)


def test_what_is_carried_from_words_that_could_not_all_be_read_goes_to_a_person():
    assert inferred("group-3b", "Zn2+ may be present", "white ppt wibbly").why


def test_what_does_not_follow_from_the_wrong_observation_is_not_carried():
    assert inferred("group-3b", "Ba2+ may be present", "white ppt").share == 0


def test_a_contradiction_is_shown_to_a_person():
    assert inferred("group-3b", "Ni2+ present, Ni2+ absent").why


def test_words_that_name_no_ion_are_shown_to_a_person():
    assert inferred("group-3b", "wibbly wobbly").why
