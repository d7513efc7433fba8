"""Fixtures of printing: a small drawn exam, and silence."""

import logging

import pytest

from tests.stockroom.drawn import drawn_exam


@pytest.fixture
def exam(centre):
    """Six candidates with six salts."""
    return drawn_exam(centre)


@pytest.fixture
def silent(caplog):
    """Printing must not log a single warning: a lost font or an unknown rule is a fault."""
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        yield
    assert [r.getMessage() for r in caplog.get_records("call") if r.levelno >= logging.WARNING] == []
