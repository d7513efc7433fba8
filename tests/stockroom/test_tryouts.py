"""How the bottle of a reagent is tried: with a salt that answers and with one that does not."""

import pytest

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.stockroom.requirements import Seating, reagents_to_ready
from examkit.stockroom.tryouts import tryouts
from tests.stockroom.drawn import SALTS


def found(*salts):
    """The tryout of each reagent that these salts need."""
    kb = knowledge()
    records = [expect(kb, read_specimen(kb, salt)).as_json() for salt in salts]
    needs = reagents_to_ready(kb, records, Seating(1, 1, 1), spare_percent=0)
    return {need.reagent: tryouts(kb, records, need) for need in needs}


@pytest.fixture(scope="module")
def of_all():
    return found(*SALTS)


def test_barium_chloride_is_tried_with_a_sulfate_and_without(of_all):
    each = of_all["barium-chloride"]

    assert "sulfate" in each.with_salt and "white precipitate" in each.shows
    assert "sulfate" not in each.without and each.without


def test_a_reagent_of_one_confirmation_is_told_by_that_way_alone(of_all):
    each = of_all["dimethylglyoxime"]

    assert "nickel" in each.with_salt
    assert each.shows.startswith("ammonia and dimethylglyoxime") and "; or" not in each.shows


def test_what_answers_is_never_the_same_as_what_does_not(of_all):
    assert all(each.with_salt != each.without for each in of_all.values() if each)


def test_where_no_drawn_salt_answers_nothing_is_promised():
    assert found("KBr")["hydrogen-sulfide"] is None
