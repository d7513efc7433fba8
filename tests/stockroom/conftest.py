"""Fixtures of the stock room: a small drawn exam."""

import pytest

from tests.stockroom.drawn import drawn_exam


@pytest.fixture
def exam(centre):
    """Six candidates with six salts."""
    return drawn_exam(centre)
