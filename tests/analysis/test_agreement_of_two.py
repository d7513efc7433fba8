"""Agreement of two markers: shares, and quadratic-weighted kappa against its definition."""

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.analysis.agreement import ENOUGH, agreement, kappa

pairs = st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=1, max_size=40)


def by_definition(found):
    """One minus weighted disagreement over that by chance, summed cell by cell of the table (Cohen 1968, memory)."""
    n, rows, columns = len(found), Counter(a for a, _b in found), Counter(b for _a, b in found)
    seen = sum((a - b) ** 2 for a, b in found)
    chance = sum(Fraction((a - b) ** 2 * rows[a] * columns[b], n) for a in rows for b in columns)
    return 1 - seen / chance if chance else None


@given(pairs)
def test_kappa_is_what_its_definition_says(found):
    assert kappa(found) == by_definition(found)


@given(pairs)
def test_kappa_does_not_care_who_is_first_nor_in_which_unit_marks_are(found):
    assert kappa(found) == kappa([(b, a) for a, b in found]) == kappa([(3 * a, 3 * b) for a, b in found])


@given(st.lists(st.integers(0, 4), min_size=2).filter(lambda marks: len(set(marks)) > 1))
def test_who_always_agree_have_a_kappa_of_one(marks):
    assert kappa([(mark, mark) for mark in marks]) == 1


def test_where_all_marks_are_alike_kappa_says_nothing():
    assert kappa([(2, 2)] * 30) is None and kappa([]) is None
    assert agreement([(2, 2, 2)] * 30).exact == 1.0


def test_a_table_worked_by_hand():
    """40 times both 0, 10 times 0 and 1, 50 times both 1: seen 10, by chance (50·60 + 50·40)/100 = 50."""
    found = agreement([(0, 0, 1)] * 40 + [(0, 1, 1)] * 10 + [(1, 1, 1)] * 50)

    assert (found.n, found.same, found.close, found.lean) == (100, 90, 100, 10)
    assert (found.exact, found.near, found.kappa) == (0.9, 1.0, pytest.approx(0.8))


def test_steps_are_weighed_as_shares_of_the_full_marks_of_their_part():
    halves = agreement([(1, 2, 2)] * 10 + [(0, 0, 2)] * 10)
    assert halves.kappa == pytest.approx(agreement([(2, 4, 4)] * 10 + [(0, 0, 4)] * 10).kappa)


def test_below_enough_marks_there_is_no_figure_only_the_count():
    few = agreement([(0, 0, 2), (1, 2, 2), (0, 2, 2)])
    assert (few.n, few.same, few.close, few.exact, few.near, few.kappa) == (3, 1, 2, None, None, None)
    assert agreement([(0, 0, 2)] * ENOUGH).exact == 1.0
