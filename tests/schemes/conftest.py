"""An exam that has been sat, and a mark scheme of the school's own."""

import pytest

from examkit.models import Own
from grading.schemes.services import mark_scheme_copy
from tests.marking import exams


@pytest.fixture
def exam(cast):
    return exams.sat_exam(cast.centre)


@pytest.fixture
def sample(exam):
    return exams.sample_of(exam, "0071")


@pytest.fixture
def ours(cast):
    """A copy of the usual mark scheme."""
    mark_scheme_copy(centre=cast.centre, who=cast.teacher, key="common", title="Ours", why="agreed in June")
    return Own.objects.get()
