"""Fixtures of printing: a small drawn exam, silence, and a place of its own for print runs."""

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


@pytest.fixture
def var(settings, tmp_path):
    """Print runs are kept in a folder of this test."""
    settings.VAR_DIR = tmp_path
    return tmp_path
