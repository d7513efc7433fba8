"""Number, mean and standard deviation."""

import statistics

from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from grading.analysis.spread import spread

MARKS = st.lists(st.integers(0, 200), min_size=2, max_size=40)


def test_a_published_distribution_of_scores_has_the_published_mean():
    """Frequencies of form X as in the R package equate (ACTmath); mean and deviation of Kolen and Brennan (2004)
    from memory, and reproduced."""
    frequencies = [0, 1, 1, 3, 9, 18, 59, 67, 91, 144, 149, 192, 192, 192, 201, 204, 217, 181, 184, 170, 201, 147,
                   163, 147, 140, 147, 126, 113, 100, 106, 107, 91, 83, 73, 72, 75, 50, 37, 38, 23, 15]
    found = spread([score for score, count in enumerate(frequencies) for _one in range(count)])

    assert (found.n, round(found.mean, 4)) == (4329, 19.8524)
    assert found.sd * ((found.n - 1) / found.n) ** 0.5 == approx(8.2116, abs=5e-5)  # printed with n, ours has n - 1


def test_one_mark_has_no_standard_deviation():
    assert (spread([7]).mean, spread([7]).sd) == (7, None)


def test_no_marks_have_no_spread():
    assert spread([]) is None


@given(MARKS)
def test_agrees_with_the_standard_library(marks):
    found = spread(marks)

    assert (found.mean, found.median) == (approx(statistics.mean(marks)), statistics.median(marks))
    assert found.sd == approx(statistics.stdev(marks), abs=1e-9)
    assert found.least <= found.median <= found.most
