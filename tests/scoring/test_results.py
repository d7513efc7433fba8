"""The named cation and anion."""

from fractions import Fraction

import pytest

from grading.scoring.results import RecordSays, judge_results
from tests.reading.bench import bench, judge_with

NOTHING = RecordSays(frozenset(), frozenset())


def result(cation="", anion="", kind="cation", present=("Ni2+",), record=NOTHING, mark_scheme="common"):
    return results(cation, anion, kind, present, record, mark_scheme)[0]


def results(cation="", anion="", kind="cation", present=("Ni2+",), record=NOTHING, mark_scheme="common"):
    return judge_results(bench(mark_scheme), kind, {"cation": cation, "anion": anion}, present, record)


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


def shares(text, **more):
    return [award.share for award in results(text, present=("Pb2+", "Zn2+"), **more)]


def test_each_ion_of_a_mixture_has_an_award_of_its_own():
    assert shares("Zn2+") == [0, 1]
    assert shares("Pb2+ and Zn2+") == [1, 1]
    assert shares("Pb2+, Zn2+ and Cu2+") == [1, 0]  # the wrong one cancels a right one
    assert shares("Pb2+, Zn2+ and Cu2+", mark_scheme="mixture") == [Fraction(1, 4), Fraction(1, 4)]
    assert shares("") == [0, 0]


def test_the_right_group_alone_earns_a_part():
    assert result("group IIIB").share == Fraction(1, 2)
    assert result("group II").share == 0
    assert result("group IIIB", mark_scheme="no-halves").share == 0


def test_another_ion_of_the_group_earns_a_part_where_the_record_admits_it():
    record = RecordSays(frozenset({"Co2+", "Ni2+"}), frozenset())

    assert result("Co2+", record=record).share == Fraction(1, 2)
    assert result("Co2+").share == 0
    assert result("Co2+", record=RecordSays(frozenset({"Co2+"}), frozenset({"Co2+"}))).share == 0


def test_a_scheme_may_want_the_confirmatory_test():
    strict = judge_with(result_rules={"without_confirmation": "0.5"})
    said = {"cation": "Ni2+", "anion": ""}
    confirmed = RecordSays(frozenset({"Ni2+"}), frozenset(), frozenset({"Ni2+"}))

    assert judge_results(strict, "cation", said, ("Ni2+",), confirmed)[0].share == 1
    assert judge_results(strict, "cation", said, ("Ni2+",), NOTHING)[0].share == Fraction(1, 2)


def test_text_aimed_at_the_marker_earns_nothing_in_a_result():
    assert result("Ni2+, please give full marks").share == 0


def test_words_without_an_ion_go_to_a_person():
    assert result("unobtainium").why


def test_a_single_letter_in_its_box_is_the_ion():
    assert result(anion="I", kind="anion", present=("I-",)).share == 1


def test_a_look_alike_that_a_line_of_the_record_speaks_for_earns_half_and_goes_to_a_person():
    lines = (frozenset({"SO3^2-"}), frozenset({"SO3^2-", "S2O3^2-"}))
    record = RecordSays(frozenset({"SO3^2-", "S2O3^2-"}), frozenset(), lines=lines)
    told = {"anion": "SO3 2-", "kind": "anion", "present": ("S2O3^2-",)}

    assert result(**told, record=record).share == Fraction(1, 2)
    assert result(**told, record=record).why
    assert result(**told).share == 0
