"""What does not go together in a record, as matters for the examiner."""

import json

import pytest

from grading.scoring.consistency import consistency
from grading.scoring.paper import score_paper
from tests.reading.bench import base, expected

NICKEL, ZINC = "NiCl2.6H2O", "ZnSO4.7H2O"


def right_lines(specimen):
    return [
        {"test": line["test"], "observation": line["text"], "inference": ""}
        for line in expected(specimen)["lines"]
        if line["done"]
    ]


def matters(specimen, lines, result=None, others=None):
    paper = score_paper(base(), "common", expected(specimen), lines, result or {})
    return consistency(base(), paper, expected(specimen), lines, others)


def test_a_right_record_gives_no_matter():
    others = {"A1": expected(ZINC), "A2": expected("CuSO4.5H2O")}

    assert matters(NICKEL, right_lines(NICKEL), {"cation": "Ni2+", "anion": "Cl-"}, others) == []


@pytest.mark.parametrize("specimen", ["BaCl2.2H2O", "SrCl2.6H2O", "CoCl2.6H2O", "Pb(NO3)2", "FeSO4.7H2O", "KI"])
def test_what_is_accepted_as_right_for_a_specimen_is_never_held_against_its_ions(specimen):
    record = expected(specimen)

    assert matters(specimen, right_lines(specimen), {"cation": record["cations"][0]}) == []


def test_lines_that_cannot_both_be_true_are_pointed_out():
    lines = [
        {"test": "group-3b", "observation": "white ppt"},
        {"test": "naoh", "observation": "blue ppt, insoluble in excess"},
    ]
    found = matters(NICKEL, lines)

    assert [matter["kind"] for matter in found] and {matter["kind"] for matter in found} == {"lines"}
    assert set(found[0]["tests"]) == {"group-3b", "naoh"}


def test_a_line_that_a_cation_explains_is_not_held_against_the_anions_that_would_explain_it_too():
    lines = [line for line in right_lines("FeCl3.6H2O") if line["test"] != "group-2"]
    lines.append({"test": "group-2", "observation": "white turbidity of sulfur, no coloured precipitate"})

    assert matters("FeCl3.6H2O", lines) == []


def test_a_result_that_its_own_record_rules_out_is_pointed_out():
    found = matters(NICKEL, right_lines(NICKEL), {"cation": "Zn2+", "anion": "Cl-"})

    assert [matter["kind"] for matter in found] == ["result"]
    assert "Zn2+ is named" in found[0]["text"]


def test_a_record_that_fits_another_specimen_of_the_sitting_better_is_pointed_out_by_its_code():
    found = matters(NICKEL, right_lines(ZINC), {}, {"A1": expected(ZINC), "A2": expected("CuSO4.5H2O")})

    neighbour = [matter for matter in found if matter["kind"] == "another specimen"]
    assert [matter["specimen"] for matter in neighbour] == ["A1"]
    assert "?" in neighbour[0]["text"]  # a question, no accusation


def test_a_short_record_is_compared_with_nobody():
    lines = right_lines(ZINC)[:4]

    assert not [m for m in matters(NICKEL, lines, {}, {"A1": expected(ZINC)}) if m["kind"] == "another specimen"]


def test_the_report_is_plain_data():
    found = matters(NICKEL, right_lines(ZINC), {"cation": "Zn2+"}, {"A1": expected(ZINC)})

    assert json.loads(json.dumps(found)) == found and found
