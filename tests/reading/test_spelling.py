"""Misspelt words: corrected where nothing is at stake, and said."""

import pytest

from grading.reading.spelling import corrected
from tests.reading.bench import read, words


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("precipittate", "precipitate"),
        ("gelatinuos", "gelatinous"),
        ("efervescence", "effervescence"),
        ("yeloww", "yellow"),
        ("soluuble", "soluble"),
        ("crimsin", "crimson"),
        ("incrustration", "incrustation"),
        ("sublimatte", "sublimate"),
    ],
)
def test_a_slip_of_the_pen_is_the_word_that_it_is_nearest_to(wrong, right):
    table = words().observation

    assert table.phrases[(corrected(table, wrong),)][0] == table.phrases[(right,)][0]


@pytest.mark.parametrize(
    "word", ["wide", "while", "write", "blew", "bread", "ready", "gross", "breed", "whole", "grown", "grain"]
)
def test_a_real_word_that_looks_like_a_colour_is_not_taken_for_one(word):
    assert corrected(words().observation, word) is None


@pytest.mark.parametrize("word", ["no", "on", "bo", "mo", "non", "nto", "ont"])
def test_a_short_word_is_never_corrected(word):
    assert corrected(words().observation, word) is None


@pytest.mark.parametrize("word", ["nott", "neverr", "withoutt", "isoluble", "nothin", "innsolubl"])
def test_nothing_is_corrected_into_a_denial(word):
    found = corrected(words().observation, word)
    entries = words().observation.phrases.get((found,), ())

    assert not any(entry.negated or entry.means in ("not", "none") for entry in entries)


def test_a_word_between_two_meanings_stays_unread():
    assert read("gree ppt").unread_words == ("gree",)


def test_a_corrected_word_is_told_to_the_examiner():
    reading = read("white precipittate")

    assert reading.findings[0].event == "precipitate"
    assert not reading.sure
    assert reading.why_unsure() == ["took “precipittate” for “precipitate”"]


def test_a_listed_misspelling_needs_no_examiner():
    assert read("wht ppte").sure
