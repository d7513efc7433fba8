"""An exam whose four records are finished, two second markers, and a sample of one record."""

import pytest

from examkit.models import Part, Role
from examkit.planning.services import duty_add
from grading.demo.records import mark
from grading.marking.services import exam_hand_over
from grading.second import services
from tests.cast import person
from tests.marking import exams
from tests.second import acts


@pytest.fixture
def second(cast):
    """Sella, an examiner who gave no first mark and marks a second time."""
    return person("sella", cast.centre, Role.EXAMINER, "Sella", "Moor")


@pytest.fixture
def exam(cast, second):
    """Sat; all four records finished by Edda, and Sella named as second marker."""
    exam = exams.sat_exam(cast.centre, salts=("NiCl2.6H2O",) * 4)
    for number, _name, _group in exams.CANDIDATES:
        sample = exams.sample_of(exam, number)
        exams.enter(sample, cast.examiner, lines={"appearance": exams.NICKEL["appearance"]})
        mark(sample, cast.examiner)
    duty_add(exam=exam, who=cast.teacher, user=second, part=Part.SECOND)
    return exam


@pytest.fixture
def sample(exam, moderator):
    """The one record that is drawn."""
    services.sample_draw(exam=exam, size=1, reason="", who=moderator, seed="fixed")
    return acts.drawn(exam)[0]


@pytest.fixture
def finished(sample, second):
    """It is marked again: one mark a step lower, all else as suggested."""
    acts.mark_again(sample, second, lower=acts.PART)
    services.second_finish(sample=sample, who=second)
    return sample


@pytest.fixture
def handed_over(exam, finished, examiner):
    """The exam with its one difference, handed to the teacher."""
    exam_hand_over(exam=exam, who=examiner)
    exam.refresh_from_db()
    return exam
