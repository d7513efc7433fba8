"""Suggestions against the marks of examiners who had not read the code, on the records of fresh/.

The marks there are theirs, and are never changed to fit. `python -m tests.benchmarks.agreement` tells more.
"""

from functools import cache
from pathlib import Path

import pytest

from tests.benchmarks.agreement import GOALS, kappa_of, pairs

FOLDER = Path(__file__).parent / "fresh"


@cache
def found():
    return pairs(FOLDER)


@pytest.mark.parametrize("kind", GOALS)
def test_suggestions_agree_with_the_examiner_nearly_always(kind):
    mine = [pair for pair in found() if pair.kind == kind]

    assert sum(pair.agrees for pair in mine) >= (GOALS[kind] - 0.01) * len(mine)


def test_differences_are_small_and_what_is_sure_is_right():
    sure = [pair for pair in found() if pair.sure]

    assert kappa_of(found()) >= 0.88
    assert len(sure) >= 0.85 * len(found())
    assert sum(pair.agrees for pair in sure) >= 0.97 * len(sure)


def test_text_aimed_at_the_marker_and_lists_to_catch_a_mark_earn_nothing():
    caught = [
        pair for pair in found() if "aimed at the marker" in pair.why or "alternatives" in pair.why
    ]

    assert len(caught) >= 4
    assert [pair for pair in caught if pair.suggested and not pair.given] == []
