"""An exam on its day, and a candidate's sample of nickel chloride."""

import pytest

from tests.entry import sat
from tests.marking import exams


@pytest.fixture
def exam(cast):
    return sat.exam_on_the_day(cast.centre)


@pytest.fixture
def sitting(exam):
    return exam.sittings.get()


@pytest.fixture
def sample(exam):
    return exams.sample_of(exam, "0071")


@pytest.fixture
def candidate(exam, teacher):
    """The code of a candidate who has come in."""
    return sat.let_in(exam, teacher)
