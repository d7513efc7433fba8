"""The drawing of a way: stops in the order of the scheme, lanes for vessels, nothing on top of another."""

from itertools import combinations, pairwise

import pytest

from examkit.chemistry.identify import salts_of_syllabus
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen
from examkit.lookup.course import LINE, SPECIMEN, TUBE, picture

KB = load()
MIXTURES = ["Pb(NO3)2 + ZnCO3", "CuSO4.5H2O + NiCl2.6H2O + BaCl2.2H2O", "AgNO3 + FeCl3.6H2O + MgCl2.6H2O", "BaSO4"]


def drawn(text, scheme="mixture"):
    return picture(KB, KB.schemes[scheme], read_specimen(KB, text))


def test_every_test_of_the_scheme_is_a_stop_or_is_named_as_left_out():
    for text in MIXTURES:
        found = drawn(text)
        tests = [stop.test.id for stop in found.stops] + [test.id for test in found.left_out]
        assert sorted(tests) == sorted(stage.test for stage in KB.schemes["mixture"].stages)


def test_a_precipitate_gets_a_lane_of_its_own_that_begins_where_it_fell():
    found = drawn("Pb(NO3)2 + ZnCO3")
    fell = next(stop for stop in found.stops if stop.test.id == "group-1")
    lane = next(lane for lane in found.lanes if lane.name in fell.opens)

    assert fell.falls == ("Pb2+",)
    assert (lane.from_x, lane.from_y) == (fell.x, fell.y) and lane.x > fell.x


@pytest.mark.parametrize("scheme", sorted(KB.schemes))
def test_texts_never_overlap_and_lie_inside_the_drawing(scheme):
    for specimen in salts_of_syllabus(KB, KB.schemes[scheme])[::9]:
        found = picture(KB, KB.schemes[scheme], specimen)
        for above, below in pairwise(found.stops):
            assert below.y - above.y >= LINE * above.rows
        assert found.stops[-1].y < found.height
        assert all(0 < stop.x < found.text_x < found.width for stop in found.stops)


@pytest.mark.parametrize("text", MIXTURES)
def test_two_vessels_in_use_at_the_same_time_stand_in_different_columns(text):
    found = drawn(text)
    for one, other in combinations(found.lanes, 2):
        if one.x == other.x:
            apart = sorted((one, other), key=lambda lane: lane.from_y)
            assert apart[0].bottom <= apart[1].from_y


def test_a_salt_that_does_not_dissolve_has_no_tube():
    found = drawn("BaSO4", "semimicro")

    assert TUBE not in {lane.name for lane in found.lanes} and SPECIMEN in {lane.name for lane in found.lanes}
    assert "group-1" in {test.id for test in found.left_out}


def test_what_comes_after_the_group_that_answered_is_drawn_as_not_done():
    found = drawn("NiCl2.6H2O", "semimicro")
    done = {stop.test.id: stop.done for stop in found.stops}

    assert done["group-3b"] and not done["group-4"]
