"""Marks as they are typed and shown, against whole numbers of the smallest step."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.errors import NoSuchMark
from grading.marking.marks import marks_text, pretty_marks, read_steps

STEPS = st.integers(0, 200)
SMALLEST = st.sampled_from(["0.5", "1", "0.25", "2"])


@pytest.mark.parametrize("typed", ["1.5", "1,5", "1½", "1 ½", "1 1/2", "3/2", " 1.50 ", "01.5"])
def test_one_and_a_half_is_read_however_it_is_typed(typed):
    assert read_steps(typed, step_marks="0.5", out_of=4) == 3


@pytest.mark.parametrize(
    "typed", ["", " ", "-1", "1e1", "½½", "1/0", "٣", "NaN", "inf", "1.3", "2.5", "9" * 50, "1 2", "x"]
)
def test_what_is_no_mark_here_is_refused_in_words(typed):
    with pytest.raises(NoSuchMark, match="0 to 2, in steps of ½"):
        read_steps(typed, step_marks="0.5", out_of=4)


@given(STEPS, SMALLEST)
def test_marks_shown_are_read_back_exactly(steps, smallest):
    for shown in (marks_text(steps, smallest), pretty_marks(steps, smallest)):
        assert read_steps(shown, step_marks=smallest, out_of=200) == steps


@given(st.text(max_size=30))
def test_no_text_breaks_the_reading_of_marks(typed):
    try:
        assert 0 <= read_steps(typed, step_marks="0.5", out_of=4) <= 4
    except NoSuchMark as refused:
        assert str(refused)
