"""An exam that has been sat, and the sample of nickel chloride."""

import pytest

from tests.marking import exams


@pytest.fixture
def exam(cast):
    return exams.sat_exam(cast.centre)


@pytest.fixture
def sample(exam):
    return exams.sample_of(exam, "0071")


@pytest.fixture
def entered(sample, examiner):
    """The nickel sample with its record entered."""
    exams.enter(sample, examiner)
    return sample
