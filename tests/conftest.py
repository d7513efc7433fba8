"""Fixtures for all tests: the fixed cast, signed-in clients, a live server with a real browser."""

import os

import pytest

from tests import cast as cast_of

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright runs an event loop in the test's own thread


@pytest.fixture
def cast(db):
    """Maple House School and its people: `cast.centre`, `cast.teacher`, `cast.assistant`, ..."""
    return cast_of.make()


@pytest.fixture
def centre(cast):
    """The school of the cast."""
    return cast.centre


@pytest.fixture
def teacher(cast):
    return cast.teacher


@pytest.fixture
def assistant(cast):
    return cast.assistant


@pytest.fixture
def examiner(cast):
    return cast.examiner


@pytest.fixture
def moderator(cast):
    return cast.moderator


@pytest.fixture
def as_user(client):
    """Sign the test client in: `as_user(teacher).get(...)`."""
    def sign_in(user):
        client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
        return client
    return sign_in
