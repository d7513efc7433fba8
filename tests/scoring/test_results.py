"""The named cation and anion."""

from fractions import Fraction

import pytest

from grading.scoring.results import RecordSays, judge_result
from tests.reading.bench import bench

NOTHING = RecordSays(frozenset(), frozenset())


def result(cation="", anion="", kind="cation", present=("Ni2+",), record=NOTHING, mark_scheme="common"):
    return judge_result(bench(mark_scheme), kind, {"cation": cation, "anion": anion}, present, record)


@pytest.mark.parametrize(
    "text",
    ["Ni2+", "nickel", "Ni(II)", "nickelous ion", "Ni²⁺", "NiCl2", "nickel chloride", "Basic radical: Ni2+"],
)
def test_the_ion_present_by_any_name_is_right(text):
    assert result(text).share == 1


def test_a_salt_in_the_cation_box_gives_both():
    assert result("nickel chloride", kind="cation").share == 1
    assert result("nickel chloride", kind="anion", present=("Cl-",)).share == 1


def test_the_boxes_may_be_mixed_up():
    assert result("chloride", "nickel").share == 1


def test_an_empty_box_earns_nothing():
    assert result("").reason == "Nothing is written."


def test_a_second_cation_cancels():
    assert result("Ni2+, Cu2+").share == 0


def test_the_right_element_with_another_charge_earns_the_schemes_share():
    assert result("Fe2+", present=("Fe3+",)).share == Fraction(1, 2)
    assert result("Fe2+", present=("Fe3+",), mark_scheme="no-halves").share == 0


def test_a_name_that_two_ions_share_goes_to_a_person():
    given = result("iron", present=("Fe3+",))

    assert given.why


def test_a_wrong_ion_earns_nothing():
    assert result("Cu2+").share == 0


def test_a_wrong_ion_that_follows_from_the_record_is_carried():
    record = RecordSays(frozenset({"Cu2+"}), frozenset({"Ni2+"}))
    given = result("Cu2+", record=record)

    assert (given.share, given.carried) == (Fraction(1, 2), True)


def test_a_record_that_fits_both_ions_carries_nothing():
    assert result("Cu2+", record=RecordSays(frozenset({"Cu2+", "Ni2+"}), frozenset())).share == 0


def test_a_record_that_rules_the_named_ion_out_carries_nothing():
    assert result("Cu2+", record=RecordSays(frozenset({"Cu2+"}), frozenset({"Ni2+", "Cu2+"}))).share == 0


def test_an_empty_record_carries_nothing():
    assert result("Cu2+", record=NOTHING).share == 0


def test_a_mixture_needs_all_its_cations():
    assert result("Pb2+", present=("Pb2+", "Zn2+")).share == Fraction(1, 2)
    assert result("Pb2+ and Zn2+", present=("Pb2+", "Zn2+")).share == 1


def test_words_without_an_ion_go_to_a_person():
    assert result("unobtainium").why
