"""Outcomes from lists: neutral in what they offer, and whoever chooses what the specimen shows earns all."""

import json

import pytest

from examkit.chemistry.observe import outcome_json
from grading.entry.choosing.choices import (
    ANY_ONE,
    IN_WORDS,
    NotOffered,
    choice_lists,
    chosen,
    in_words,
    words_beside,
)
from grading.reading.chosen import findings_of_choice
from grading.scoring.observed import judge_observation
from grading.scoring.outcomes import choices
from tests.reading.bench import base, bench, expected, read

PLACES = [(key, stage.test) for key, scheme in base().schemes.items() for stage in scheme.stages]
TESTS = pytest.mark.parametrize(("scheme", "test"), PLACES)


def shows(outcomes, facet):
    """Whether a choice stands for what a specimen shows in one facet: the same, in one of its colours."""
    told = [outcome_json(item, "") for item in outcomes]
    same = ("step", "event", "texture", "gas", "smell")
    return len(told) == len(facet) and all(
        [ours[name] for name in same] == [theirs[name] for name in same]
        and set(ours["colours"]) <= set(theirs["colours"])
        for ours, theirs in zip(told, facet, strict=True))


def picks(line):
    """What somebody chooses who sees what the specimen shows: for each list its choices that stand for it."""
    facets = {}
    for item in line["seen"]:
        facets.setdefault(item["facet"], []).append(item)
    known = {choice.text: choice.seen for choice in choices(base(), "semimicro", line["test"])}
    for offered in choice_lists(base(), "semimicro", line["test"]):
        yield offered, [each.text for each in offered.choices
                        if each.facet in facets and shows(known.get(each.text, ()), facets[each.facet])]


def papers(line):
    """Observations made of choices alone, for a line whose every outcome is in the lists."""
    there = {item["facet"] for item in line["seen"]}
    found = [(offered, texts) for offered, texts in picks(line) if texts or offered.key in there]
    if line["choose"] == ANY_ONE:
        return [text for _offered, texts in found for text in texts]
    if not found or not all(texts for _offered, texts in found):
        return []
    shown = [next(each for each in offered.choices if each.text == texts[0]) for offered, texts in found]
    others = [offered.choices[-1] for offered, _texts in picks(line) if offered.key not in there
              and base().tests[line["test"]].facets[offered.key].none == offered.choices[-1].text]
    return [in_words(shown), in_words([*shown, *others])]


@pytest.mark.parametrize("salt", sorted(base().salts))
def test_who_chooses_what_the_salt_shows_earns_all_marks_and_needs_no_person(salt):
    wrong = []
    for line in expected(salt)["lines"]:
        for said in papers(line) if line["done"] else ():
            award = judge_observation(bench(), line, read(said))
            wrong += [(line["test"], said, award)] if (award.share, award.why) != (1, ()) else []

    assert wrong == []


def test_most_lines_of_the_salts_can_be_chosen_from_the_lists():
    lines = [line for salt in base().salts for line in expected(salt)["lines"] if line["done"] and line["seen"]]
    made = [line for line in lines if papers(line)]

    assert len(made) > 0.8 * len(lines)


@TESTS
def test_a_list_is_in_the_order_of_its_words_with_nothing_at_the_end(scheme, test):
    for offered in choice_lists(base(), scheme, test):
        for _title, group in offered.groups:
            texts = [choice.text.casefold() for choice in group[:-1]]
            assert texts == sorted(texts)


@TESTS
def test_every_list_can_say_that_nothing_is_seen(scheme, test):
    kb = base()
    for offered in choice_lists(kb, scheme, test):
        for _title, group in offered.groups:
            said = read(group[-1].text)
            facet = kb.tests[test].facets[group[-1].facet]
            assert not facet.none or facet.none in group[-1].text or all(f.nothing for f in said.findings)


@TESTS
def test_keys_and_words_stand_once_in_a_test(scheme, test):
    every = [choice for offered in choice_lists(base(), scheme, test) for choice in offered.choices]

    assert len({choice.key for choice in every}) == len({choice.text for choice in every}) == len(every) > 0


def test_a_confirmatory_test_has_one_list_with_its_reagents_as_heads():
    (offered,) = choice_lists(base(), "semimicro", "confirm-cation")

    assert offered.key == ANY_ONE
    assert len({title for title, _group in offered.groups}) > 10


def test_a_scheme_or_test_that_is_not_there_offers_nothing():
    assert choice_lists(base(), "no such", "flame") == choice_lists(base(), "semimicro", "no such") == ()


def test_choices_become_words_in_the_order_of_the_lists_and_what_was_typed_comes_last():
    first, second = (offered.choices[0] for offered in choice_lists(base(), "semimicro", "naoh"))
    made = chosen(base(), "semimicro", "naoh", [second.key, first.key])

    said = in_words(made, "turbid at once")

    assert said == f"{first.text}; {second.text}; turbid at once"
    assert words_beside(said, [choice.as_json() for choice in made]) == "turbid at once"


def test_that_nothing_is_seen_is_said_only_where_nothing_else_is():
    tube, gas = choice_lists(base(), "semimicro", "naoh")
    seen, none, no_gas = tube.choices[0], tube.choices[-1], gas.choices[-1]

    assert in_words([seen, no_gas]) == seen.text
    assert in_words([none, no_gas]) == f"{none.text}; {no_gas.text}"
    assert words_beside(f"{seen.text}; turbid", [each.as_json() for each in (seen, no_gas)]) == "turbid"


def test_words_without_choices_stay_as_they_are():
    assert in_words([], " two  spaces ") == " two  spaces "
    assert words_beside("white ppt", []) == "white ppt"


def test_words_that_no_longer_begin_with_the_choices_are_all_typed():
    assert words_beside("blue ppt", [{"key": "a", "facet": "f", "text": "white ppt"}]) == "blue ppt"


@TESTS
def test_what_is_stored_of_a_choice_is_read_as_the_outcome_that_it_stands_for(scheme, test):
    for choice in (each for offered in choice_lists(base(), scheme, test) for each in offered.choices):
        findings = findings_of_choice(json.loads(json.dumps(choice.as_json()["seen"])))
        assert [finding.event for finding in findings] == [outcome.event for outcome in choice.seen]
        assert choice.seen


def test_not_listed_says_nothing_by_itself():
    assert chosen(base(), "semimicro", "naoh", [IN_WORDS, ""]) == []


def test_an_outcome_that_is_not_in_the_list_is_refused():
    with pytest.raises(NotOffered, match="Choose again"):
        chosen(base(), "semimicro", "naoh", ["tube:0000000000"])
