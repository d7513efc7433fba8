"""What several words say only together: equations, strokes, lists that are denied, much of a reagent, signs."""

import pytest

from tests.reading.bench import read


def told(text):
    return [(f.event, f.colours, f.step, f.nothing) for f in read(text).findings]


def test_nobody_saw_an_equation_but_what_falls_in_it():
    found = told("2Ni(NO3)2 → 2NiO + 4NO2 + O2; brown gas")

    assert found == [("gas", ("brown",), "", False)]
    assert told("Ni2+ + 2DMG → Ni(DMG)2↓ rosy red")[-1][:2] == ("precipitate", ("rose red",))


def test_what_stands_between_double_strokes_is_crossed_out():
    assert told("~~purple~~ pink crystals") == told("pink crystals")


def test_a_denial_holds_for_all_of_a_list():
    (finding,) = read("no black, yellow or brown ppt").findings

    assert finding.negated and set(finding.colours) == {"black", "yellow", "brown"}


@pytest.mark.parametrize("text", ["more ammonia", "much ammonia", "lots of ammonia", "plenty of NaOH"])
def test_much_of_a_reagent_is_an_excess(text):
    assert read(f"white ppt, dissolves in {text}").findings[-1].step == "excess"


def test_much_of_what_is_seen_says_nothing_of_the_reagent():
    assert [f.step for f in read("more dense brown fumes").findings] == [""]


@pytest.mark.parametrize("text", ["HCl → no", "HCl → =", "HCl → ×"])
def test_an_arrow_to_nothing_says_that_nothing_is_seen(text):
    assert read(text).findings[-1].nothing


def test_strokes_part_statements_that_have_each_a_heading():
    first, second = read("hot: yellow / cold: white").findings

    assert (first.step, second.step) == ("hot", "cold")


def test_words_are_known_by_their_sound():
    reading = read("whight fums, kristalls, litmis")

    assert ("whight", "gas") == (reading.fuzzy[0][0], reading.findings[0].event)
    assert reading.findings[0].colours == ("white",)


@pytest.mark.parametrize("text", ["white ppt? yellow ppt?", "no ppt or white ppt", "white ppt / no ppt"])
def test_one_thing_told_in_two_ways_is_a_choice_left_to_the_reader(text):
    assert read(text).either


@pytest.mark.parametrize("text", ["white ppt? dissolves in excess", "white ppt? no, yellow ppt", "white ppt or yellow"])
def test_a_doubt_or_a_correction_is_no_such_choice(text):
    assert not read(text).either
