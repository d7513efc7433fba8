"""What every test of planning may ask for."""

import pytest


@pytest.fixture
def page(cast, as_user):
    """The client of the teacher."""
    return as_user(cast.teacher)
