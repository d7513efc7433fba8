"""An exam whose records are all closed: one marked, the others not handed in."""

import pytest

from examkit.models import Exam
from grading.marking import services
from tests.marking import exams
from tests.marking.test_awards import accept_all


@pytest.fixture
def exam(cast):
    return exams.sat_exam(cast.centre)


@pytest.fixture
def entered(exam, examiner):
    """The nickel sample, entered and every sure suggestion accepted."""
    sample = exams.sample_of(exam, "0071")
    exams.enter(sample, examiner)
    accept_all(sample, examiner)
    return sample


@pytest.fixture
def marked(exam, entered, examiner):
    """The exam, handed over to the teacher."""
    services.record_finish(sample=entered, who=examiner)
    for sample in exam.samples.exclude(pk=entered.pk):
        services.record_absent(sample=sample, reason="not handed in", who=examiner)
    services.exam_hand_over(exam=exam, who=examiner)
    return Exam.objects.get(pk=exam.pk)
