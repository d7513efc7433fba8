"""Marks and shares as they are typed: read, or refused at once."""

import pytest

from grading.schemes.values import is_share


@pytest.mark.parametrize("text", ["0", "1", "0.5", ".25", "1/3"])
def test_a_share_is_a_number_from_0_to_1(text):
    assert is_share(text)


@pytest.mark.parametrize("text", ["", "2", "-1", "1/0", "half", "½", "1.5", "0.1234567890123", "1e-1"])
def test_anything_else_is_no_share(text):
    assert not is_share(text)


@pytest.mark.parametrize("text", ["9e99999999", "1e-9999999"])
def test_a_number_that_would_take_hours_is_refused_at_once(text):
    assert not is_share(text)
