"""Colour words: families, synonyms, which precipitate hides which."""

import pytest

from examkit.chemistry.colours import agree, any_agree, lightness


@pytest.mark.parametrize(
    ("word", "other", "same"),
    [
        ("green", "pale green", True),
        ("pale green", "green", True),
        ("pale green", "dirty green", False),
        ("white", "white", True),
        ("white", "black", False),
        ("light green", "pale green", True),
        ("chartreuse of our own", "chartreuse of our own", True),
        ("chartreuse of our own", "green", False),
    ],
)
def test_words_agree_when_one_is_a_shade_of_the_other(kb, word, other, same):
    assert agree(kb, word, other) is same
    assert agree(kb, other, word) is same


def test_saying_no_colour_contradicts_none(kb):
    assert any_agree(kb, (), ("white",))


def test_every_word_leads_to_a_basic_one(kb):
    basic = {
        "white",
        "colourless",
        "black",
        "grey",
        "brown",
        "red",
        "orange",
        "yellow",
        "green",
        "blue",
        "violet",
        "pink",
    }
    for colour in kb.colours.values():
        assert colour.word in basic or colour.under, colour.word


def test_black_is_darker_than_white(kb):
    assert lightness(kb, "black") < lightness(kb, "brown") < lightness(kb, "white")
