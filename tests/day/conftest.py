"""Fixtures of the day: a prepared exam of six candidates, one of whom may have colours named."""

import pytest

from examkit.models import State
from tests.stockroom.drawn import drawn_exam


@pytest.fixture
def exam(centre):
    """Six candidates with six salts, on the day; 4002 has colour help and a quarter more time."""
    return on_the_day(centre)


def on_the_day(centre, **more):
    """A prepared exam."""
    exam = drawn_exam(centre, state=State.PREPARED, **more)
    exam.candidates.filter(number="4002").update(needs_colour_help=True, extra_time_percent=25)
    return exam


@pytest.fixture
def sitting(exam):
    """Its only sitting."""
    return exam.sittings.get()


@pytest.fixture
def sample(exam):
    """The sample of candidate 4001."""
    return exam.samples.get(candidate__number="4001")


@pytest.fixture
def helped(exam):
    """The sample of candidate 4002, for whom colours may be named."""
    return exam.samples.get(candidate__number="4002")
