"""Outcomes chosen from lists are judged as chosen, too: not by their words alone."""

import pytest

from grading.entry.choosing.choices import choice_lists, in_words
from grading.reading.chosen import reading_of_stored
from grading.scoring.doubts import CHOSEN_OTHERWISE
from grading.scoring.paper import score_paper
from tests.entry.test_choices import picks
from tests.reading.bench import base, expected

NICKEL, LEAD = "NiCl2.6H2O", "Pb(NO3)2"


def choice(test, words):
    lists = choice_lists(base(), "semimicro", test)
    return next(each for offered in lists for each in offered.choices if each.text.startswith(words))


def observed(specimen, test, made, beside="", *, stored=True):
    """The award of the observation of one line that choices made."""
    chosen = [each.as_json() for each in made]
    line = {"test": test, "observation": in_words(made, beside), "inference": "", "chosen": chosen if stored else []}
    paper = score_paper(base(), "common", expected(specimen), [line], {})
    return paper.lines[0].observation


def right(line):
    """For each list what stands for what the specimen shows; None where a list has nothing for it."""
    there, made = {item["facet"] for item in line["seen"]}, []
    for offered, texts in picks(line):
        if texts:
            made.append(next(each for each in offered.choices if each.text == texts[0]))
        elif offered.key in there:
            return None
    return made or None


@pytest.mark.parametrize("specimen", [NICKEL, LEAD, "CuSO4.5H2O", "KI", "FeSO4.7H2O"])
def test_whoever_chooses_what_the_specimen_shows_surely_earns_all(specimen):
    lines = [(line, right(line)) for line in expected(specimen)["lines"] if line["done"]]
    found = {line["test"]: observed(specimen, line["test"], made) for line, made in lines if made}

    assert len(found) >= 12
    assert {test for test, award in found.items() if award.share != 1 or not award.sure} == set()


def test_words_that_might_be_misread_are_sure_when_the_choice_earns_the_same():
    made = [choice("charcoal-cavity", "green infusible residue")]

    assert not observed(NICKEL, "charcoal-cavity", made, stored=False).sure
    assert observed(NICKEL, "charcoal-cavity", made).sure


def test_a_wording_that_fits_another_part_of_the_test_goes_to_a_person_with_both_marks():
    made = [choice("confirm-cation", "calcium sulfate: white precipitate")]
    award = observed(LEAD, "confirm-cation", made)

    assert CHOSEN_OTHERWISE in award.why
    assert [reading["fraction"] for reading in award.readings] == [1.0, 0.0]
    assert "As chosen" in award.readings[1]["reason"]


def test_words_typed_beside_a_choice_count_as_words():
    made = [choice("confirm-cation", "calcium sulfate: white precipitate")]

    assert CHOSEN_OTHERWISE not in observed(LEAD, "confirm-cation", made, "and yellow with iodide").why


def test_a_choice_that_does_not_say_all_is_read_by_its_words():
    gas = {"facet": "gas", "text": "gas that turns lime water milky", "nothing": False,
           "seen": [{"event": "gas", "step": "", "colours": [], "texture": None, "gas": None, "smell": None}]}
    old = {"facet": "gas", "key": "gas:1", "text": "colourless gas"}

    assert reading_of_stored(gas["text"], [gas]) is None
    assert reading_of_stored(old["text"], [old]) is None
    assert reading_of_stored("white ppt", []) is None


def test_nothing_in_one_part_is_not_held_against_what_is_seen_in_another():
    seen = choice("charcoal-cavity", "white residue").as_json()
    nothing = choice("charcoal-cavity", "no metal").as_json()
    reading = reading_of_stored("white residue", [nothing, seen])

    assert [finding.event for finding in reading.findings] == ["residue"]
    assert [finding.nothing for finding in reading_of_stored("no metal", [nothing]).findings] == [True]
