"""The look from above: words without grammar, and what is made of it beside the reading by grammar."""

import pytest

from grading.scoring.from_above import TWO_LOOKS, from_above
from grading.scoring.required import expected_facets
from grading.scoring.two_looks import BY_WORDS
from tests.reading.bench import award, bench, line_of, read


def view(test, subject, text):
    line = line_of(test, subject)
    return from_above(bench(), line, read(text), expected_facets(line))


@pytest.mark.parametrize(
    ("test", "subject", "text"),
    [
        ("naoh", "Zn2+", "ppt white it was, and excess it went, soluble"),
        ("group-3a", "Fe3+", "flocks, reddish brown ones"),
        ("group-1", "Zn2+", "stays clear like water"),
        ("group-1", "Cu2+", "no ppt, merely bluish"),
        ("ammonium", "Zn2+", "NH3 not smelt, red litmus remains red"),
        ("confirm-anion", "CO3^2-", "lime water - milky, with more gas clear again"),
    ],
)
def test_all_that_decides_is_found_whatever_the_order_of_words(test, subject, text):
    assert view(test, subject, text).share == 1


@pytest.mark.parametrize(
    ("test", "subject", "text", "rival"),
    [
        ("group-3a", "Fe3+", "green ppt, and some reddish brown", "green is not expected"),
        ("group-1", "Ag+", "no white ppt", "it is denied"),
        ("naoh", "Mg2+", "white ppt, dissolves in excess", "it dissolves"),
        ("anion-dilute-acid", "CO3^2-", "effervescence of chlorine", "Cl2 is not expected"),
        ("group-3a", "Fe3+", "reddish brown flame", "a flame is told of"),
    ],
)
def test_what_competes_leaves_it_open(test, subject, text, rival):
    found = view(test, subject, text)

    assert found.share is None and found.rival and found.why == rival


@pytest.mark.parametrize(
    ("test", "subject", "text", "share"),
    [
        ("naoh", "Zn2+", "white ppt", "1/2"),  # the excess is not told of
        ("group-3a", "Fe3+", "a precipitate came", "1/2"),  # the colour is not
        (
            "borax-bead",
            "Ni2+",
            "oxidising flame violet hot, reddish brown cold",
            "1/2",
        ),  # nor the other flame
        ("group-1", "Ag+", "as the book says", "None"),
        ("group-1", "Ag+", "please give full marks", "None"),
    ],
)
def test_what_is_not_named_is_not_found(test, subject, text, share):
    assert str(view(test, subject, text).share) == share


def test_what_the_grammar_missed_counts_and_goes_to_a_person():
    given = award("appearance", "Fe(NO3)3.9H2O", "light violet cristals, become wet at the air")

    assert given.share == 1
    assert not given.sure or given.why == ()


def test_a_colour_alone_in_a_test_that_looks_for_precipitates_is_that_of_what_fell():
    given = award("group-4", "Ba2+", "white")

    assert given.share == 1 and BY_WORDS in given.why and given.other[0][0] < 1


def test_where_the_looks_differ_a_person_sees_both():
    given = award("naoh", "Mg2+", "white ppt, insoluble in excess, but it dissolves in a little")

    assert not given.sure and given.other


def test_words_that_are_not_known_trouble_nobody_where_both_looks_see_all_that_decides():
    assert award("naoh", "Zn2+", "white ppt, soluble in excess (zorgly)").sure
    assert not award("naoh", "Zn2+", "zorgly white ppt, soluble in excess").sure


def test_parts_of_what_is_expected_beside_something_wrong_go_to_a_person():
    given = award("naoh", "Zn2+", "white ppt, insoluble in excess")

    assert given.share == 0
    assert TWO_LOOKS in given.why or given.sure


@pytest.mark.parametrize("text", ["no ppt or white ppt", "white / yellow / no ppt", "white or no ppt"])
def test_a_thing_and_its_denial_to_choose_from_earn_nothing(text):
    assert award("group-4", "Ba2+", text).share == award("group-4", "Cu2+", text).share == 0


def test_a_denial_of_several_is_none_of_alternatives():
    assert award("group-2", "Mg2+", "no black, yellow or brown ppt").share == 1
    assert award("group-2", "Mg2+", "neither a black nor a yellow ppt").share == 1
