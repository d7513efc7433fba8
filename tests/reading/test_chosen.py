"""Chosen outcomes become the findings that their wording would be read as."""

import pytest

from grading.reading.chosen import findings_of_choice, reading_of_choice
from grading.scoring.observed import judge_observation
from tests.reading.bench import base, bench, expected, line_of


def test_a_chosen_outcome_is_a_finding():
    found = findings_of_choice(
        [{"facet": "tube", "step": "drops", "event": "precipitate", "colours": ["white"]}]
    )

    assert [(f.event, f.step, f.colours, f.facet) for f in found] == [
        ("precipitate", "drops", ("white",), "tube")
    ]


def test_nothing_chosen_is_nothing_found():
    assert findings_of_choice([]) == () and reading_of_choice([]).blank


@pytest.mark.parametrize("salt", ["NiCl2.6H2O", "Pb(NO3)2", "CuSO4.5H2O", "NH4Cl", "KI", "Na2CO3"])
def test_choosing_what_is_expected_earns_all_and_needs_no_person(salt):
    for line in (line for line in expected(salt)["lines"] if line["done"]):
        given = judge_observation(bench(), line, reading_of_choice(line["seen"]))
        assert (given.share, given.why) == (1, ()), (line["test"], given)


def test_a_wrong_choice_earns_nothing_and_a_choice_without_colour_half():
    line = line_of("naoh", "Zn2+")
    wrong = reading_of_choice(
        [{"step": "drops", "event": "precipitate", "colours": ["blue"], "facet": "tube"}]
    )
    plain = reading_of_choice([{"step": "drops", "event": "precipitate", "colours": [], "facet": "tube"}])

    assert judge_observation(bench(), line, wrong).share == 0
    assert 0 < judge_observation(bench(), line, plain).share < 1


def test_every_outcome_of_the_knowledge_base_can_be_chosen():
    facts = [fact for ion in base().ions.values() for fact in ion.facts.values()]

    assert all(len(findings_of_choice(fact.seen)) == len(fact.seen) for fact in facts)
