"""Kruskal-Wallis against published examples."""

from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from grading.analysis.compare import chi_squared_tail, kruskal_wallis

GROUPS = st.lists(st.lists(st.integers(0, 60), min_size=1, max_size=8), min_size=2, max_size=6)


def test_mucociliary_efficiency():
    """Data as in the help of R's kruskal.test (from Hollander and Wolfe 1973); H and p from memory, reproduced."""
    found = kruskal_wallis([[2.9, 3.0, 2.5, 2.6, 3.2], [3.8, 2.7, 4.0, 2.4], [2.8, 3.4, 3.7, 2.2, 2.0]])

    assert (round(found.H, 4), found.df, round(found.p, 2)) == (0.7714, 2, 0.68)


def test_ties_are_corrected_for():
    """The example in the documentation of scipy.stats.kruskal (1.17): H 7.0, p 0.0302."""
    found = kruskal_wallis([[1, 1, 1], [2, 2, 2], [2, 2]])

    assert (found.H, round(found.p, 4)) == (approx(7.0), 0.0302)


def test_marks_that_are_all_alike_compare_to_nothing():
    assert kruskal_wallis([[5, 5], [5]]) is None


def test_one_group_compares_to_nothing():
    assert kruskal_wallis([[1, 2, 3], []]) is None


@given(GROUPS)
def test_p_and_effect_lie_between_nothing_and_one(groups):
    found = kruskal_wallis(groups)

    assert found is None or (0 <= found.p <= 1 and -1e-9 <= found.effect <= 1 + 1e-9)


@given(GROUPS, st.randoms())
def test_the_order_of_groups_and_marks_does_not_matter(groups, random):
    shuffled = [random.sample(group, len(group)) for group in random.sample(groups, len(groups))]
    first, second = kruskal_wallis(groups), kruskal_wallis(shuffled)

    assert (first is None) == (second is None)
    assert first is None or first.H == approx(second.H, abs=1e-9)


@given(st.floats(0, 60), st.integers(1, 30))
def test_the_tail_falls_with_x_and_grows_with_the_degrees_of_freedom(x, df):
    assert chi_squared_tail(x + 1, df) <= chi_squared_tail(x, df) + 1e-12
    assert chi_squared_tail(x, df) <= chi_squared_tail(x, df + 1) + 1e-12
