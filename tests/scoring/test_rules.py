"""What a mark scheme can ask for, rule by rule."""

from fractions import Fraction

import pytest

from grading.scoring.lines import score_line
from grading.scoring.observed import judge_observation
from grading.scoring.paper import Errors, capped, score_paper
from tests.reading.bench import base, bench, expected, judge_with, line_of, read

NICKEL = "NiCl2.6H2O"


def line(test, specimen=NICKEL):
    return next(line for line in expected(specimen)["lines"] if line["test"] == test)


def scored(judge, test, observation, inference="", specimen=NICKEL, carry=True):
    record = expected(specimen)
    present = (*record["cations"], *record["anions"])
    return score_line(judge, line(test, specimen), present, observation, inference, carry)


def test_half_marks_are_a_choice():
    none = judge_with(observation={"levels": dict.fromkeys(base().mark_schemes["common"]["observation"]["levels"], "0")})

    assert judge_observation(bench(), line_of("naoh", "Zn2+"), read("white ppt")).share == Fraction(1, 2)
    assert judge_observation(none, line_of("naoh", "Zn2+"), read("white ppt")).share == 0


def test_a_contradiction_earns_nothing_or_is_counted():
    counted = judge_with(observation={"contradiction": "counted", "extra_finding": "ignored"})

    assert judge_observation(bench(), line_of("group-2", "Cu2+"), read("black ppt. no ppt")).share == 0
    assert judge_observation(counted, line_of("group-2", "Cu2+"), read("black ppt. no ppt")).share == 1


def test_other_published_outcomes_may_be_left_out():
    strict = judge_with(observation={"also_accepted": False})
    lead = line("flame", "Pb(NO3)2")

    assert judge_observation(bench(), lead, read("no distinct colour")).share == 1
    assert judge_observation(strict, lead, read("no distinct colour")).share == 0


def test_nothing_seen_need_not_be_written_where_the_scheme_says_so():
    lenient = judge_with(observation={"nothing_needed": False})

    assert scored(bench(), "group-1", "", "group I absent").observation.share == 0
    assert scored(lenient, "group-1", "", "group I absent").observation.share == 1
    assert scored(lenient, "group-1", "", "").observation.share == 0
    assert scored(lenient, "group-1", "", "Ni2+ present").observation.share == 0
    assert scored(lenient, "group-3b", "", "Ni2+ present").observation.share == 0


@pytest.mark.parametrize(("carried", "shares"), [("always", [1, 1]), ("once", [1, 0]), ("none", [0, 0])])
def test_errors_are_carried_always_once_or_never(carried, shares):
    judge = judge_with(inference={"carried": carried})
    errors, found = Errors(judge.marking), []
    for test in ("group-3b", "naoh"):
        texts = "white ppt, soluble in excess" if test == "naoh" else "white ppt"
        found.append(errors.once(scored(judge, test, texts, "Zn2+", carry=errors.carry)).inference.share)

    assert found == shares


def test_the_same_wrong_ion_costs_once_where_the_scheme_says_so():
    for rule, shares in (("each time", [0, 0]), ("once", [0, 1])):
        judge = judge_with(inference={"carried": "none", "repeated_error": rule})
        errors = Errors(judge.marking)
        found = [errors.once(scored(judge, test, "no ppt", "Zn2+")).inference.share for test in ("group-3b", "naoh")]
        assert found == shares


def test_no_stage_gives_more_than_its_cap_and_the_reason_says_so():
    marking = judge_with(caps={"wet": 3}).marking
    lines = [scored(bench(), test, line(test)["text"], "Ni2+") for test in ("group-3b", "naoh")]
    kept = list(capped(marking, lines))

    assert [score.steps for score in kept] == [(2, 1), (0, 0)]
    assert "cap" in kept[0].inference.reason and "cap" not in kept[0].observation.reason


def test_a_paper_is_out_of_what_the_caps_leave():
    rows = [{"test": line["test"], "observation": line["text"]} for line in expected(NICKEL)["lines"] if line["done"]]
    paper = score_paper(base(), "school-groups", expected(NICKEL), rows, {})

    dry = [line for line in paper.lines if line.stage == "dry"]
    assert sum(sum(line.steps) for line in dry) <= base().mark_schemes["school-groups"]["caps"]["dry"]
    assert paper.steps <= paper.out_of


def test_marks_for_safe_working_wait_for_a_person():
    paper = score_paper(base(), "school-groups", expected(NICKEL), [], {})
    safety = next(result for result in paper.results if result.kind == "safety")

    assert (safety.out_of, safety.award.sure) == (2, False)
    assert not [r for r in score_paper(base(), "common", expected(NICKEL), [], {}).results if r.kind == "safety"]


def test_in_a_mixture_each_ion_needs_its_own_confirmation():
    record = expected("Pb(NO3)2 + ZnSO4.7H2O", "mixture")
    confirm = next(line for line in record["lines"] if line["test"] == "confirm-cation")
    present = (*record["cations"], *record["anions"])

    def share(text):
        judge = judge_with("mixture", "mixture", observation={"method": "levels"})
        return judge_observation(judge, confirm, read(text), (), present).share

    assert share("yellow ppt with K2CrO4") == Fraction(1, 2)
    assert share("yellow ppt with K2CrO4; white ppt with potassium ferrocyanide") == 1


def test_what_the_specimen_shows_in_another_test_is_no_fault_here():
    record = expected("ZnCO3")
    rows = [{"test": "solubility", "observation": "insoluble in water, dissolves in dil HCl with effervescence, colourless"}]

    assert score_paper(base(), "common", record, rows, {}).lines[0].observation.share == 1


def test_what_is_unsure_comes_with_two_readings_and_what_is_sure_with_none():
    unsure = scored(bench(), "naoh", "zorgly pale green ppt, insoluble in excess", "Ni2+").as_json()["observation"]
    sure = scored(bench(), "naoh", "pale green ppt, insoluble in excess", "Ni2+").as_json()["observation"]

    assert not unsure["sure"] and len(unsure["readings"]) == 2
    assert unsure["readings"][0]["fraction"] == unsure["fraction"] != unsure["readings"][1]["fraction"]
    assert sure["sure"] and sure["readings"] == []
