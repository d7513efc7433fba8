"""Which specimens a scheme tells apart: on invented records, with colours that agree by name only."""

import pytest

from examkit.planning.telling_apart import lightness, pairs, shade

SHADES = {"white": "light", "yellow": "light", "black": "dark", "brown": "dark", "green": "middle", "red": "middle"}


def seen(event, *colours, facet="tube", step="", **more):
    return {"facet": facet, "step": step, "event": event, "colours": list(colours), "gas": None, "smell": None,
            "texture": None} | more


def record(**lines):
    return {"lines": [
        {"test": test, "done": what is not None, "seen": what or []} for test, what in lines.items()]}


def pair(one, other):
    return pairs({"one": one, "other": other}, lambda a, b: a == b, lambda a, b: SHADES[a] == SHADES[b])[0]


def test_two_that_show_the_same_everywhere_are_alike():
    assert pair(record(naoh=[seen("precipitate", "white")]), record(naoh=[seen("precipitate", "white")])).alike


def test_the_tests_that_part_two_are_named():
    one = record(flame=[seen("none")], naoh=[seen("precipitate", "white")])
    other = record(flame=[seen("none")], naoh=[seen("precipitate", "black")])

    assert pair(one, other).tests == ("naoh",)


@pytest.mark.parametrize("other", [
    [seen("none")], [seen("dissolves", "white")], [seen("precipitate", "white"), seen("dissolves", step="excess")],
    [seen("precipitate", "white", gas="NH3")], [seen("precipitate", "white", smell="pungent")], None,
], ids=["nothing", "another event", "another step", "a gas", "a smell", "not done"])
def test_an_event_a_step_a_gas_or_a_smell_parts_two(other):
    assert pair(record(naoh=[seen("precipitate", "white")]), record(naoh=other)).tests == ("naoh",)


def test_one_agreeing_colour_word_is_enough_to_be_alike():
    assert pair(record(naoh=[seen("precipitate", "white", "yellow")]), record(naoh=[seen("precipitate", "yellow")])).alike


def test_the_grain_of_a_powder_parts_nobody():
    assert pair(record(naoh=[seen("precipitate", "white", texture="fine")]),
                record(naoh=[seen("precipitate", "white", texture="coarse")])).alike


def test_colours_of_one_lightness_part_by_colour_alone():
    found = pair(record(naoh=[seen("precipitate", "green")]), record(naoh=[seen("precipitate", "red")]))

    assert found.by_colour_alone and not found.alike


def test_white_and_black_part_without_colour_too():
    found = pair(record(naoh=[seen("precipitate", "white")]), record(naoh=[seen("precipitate", "black")]))

    assert found.without_colour == ("naoh",)


@pytest.mark.parametrize("event", ["flame", "bead", "colour"])
def test_a_flame_a_bead_and_a_mere_colour_are_nothing_without_colours(event):
    found = pair(record(flame=[seen(event, "red")]), record(flame=[seen("none")]))

    assert found.tests == ("flame",) and found.by_colour_alone


def test_two_that_are_alike_are_not_told_by_colour_alone():
    assert not pair(record(naoh=[]), record(naoh=[])).by_colour_alone


def test_black_is_darkest_and_white_lightest():
    assert (lightness("#000000"), round(lightness("#ffffff"), 6)) == (0, 1)
    assert [shade(swatch) for swatch in ("#1b1a19", "#3f8f3f", "#fdfdfb")] == ["dark", "middle", "light"]
