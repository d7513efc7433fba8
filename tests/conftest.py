"""Fixtures for all tests: the fixed cast, signed-in clients, a live server with a real browser."""

import importlib
import os

import hypothesis
import pytest
from django.db import connection
from django.test import TransactionTestCase

from manage import find_program
from tests import cast as cast_of
from tests.chromium import FLAGS

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright runs an event loop in the test's own thread

hypothesis.settings.register_profile("house", deadline=None)  # no test looks at the clock
hypothesis.settings.load_profile("house")

BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Tests in a real browser and whole journeys are marked by what they use and where they lie.

    By name first: cases made from sets come in another order in every process, and all cores must agree.
    """
    items.sort(key=lambda item: item.nodeid)
    for item in items:
        if "browser" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)
        if "journeys" in item.path.parts:
            item.add_marker(pytest.mark.journey)


@pytest.fixture(scope="session", autouse=True)
def trail_may_be_emptied_between_tests():
    """Emptying a test database would run into the triggers of the audit trail, so they step aside."""
    triggers = importlib.import_module("examkit.migrations.0002_audit_append_only")
    empty = TransactionTestCase._fixture_teardown

    def teardown(self):
        triggers.unprotect(connection)
        try:
            empty(self)
        finally:
            triggers.protect(connection)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", teardown)
        yield


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
    """Tilda, who teaches at the school."""
    return cast.teacher


@pytest.fixture
def assistant(cast):
    """Lino, who runs the stock room."""
    return cast.assistant


@pytest.fixture
def examiner(cast):
    """Edda, who marks."""
    return cast.examiner


@pytest.fixture
def moderator(cast):
    """Moss, who marks a second time."""
    return cast.moderator


@pytest.fixture
def invigilator(cast):
    """Ivo, who watches over the sittings."""
    return cast.invigilator


@pytest.fixture
def as_user(client):
    """Sign the test client in: `as_user(teacher).get(...)`."""
    def sign_in(user):
        client.force_login(user, backend=BACKEND)
        return client
    return sign_in


@pytest.fixture(scope="session")
def browser():
    """One Chromium for the whole run."""
    from playwright.sync_api import sync_playwright

    path = find_program("chromium")
    if not path:
        pytest.fail("No Chromium, so no browser tests. `python3 manage.py test` says how to install it.")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture
def open_page(browser, live_server):
    """A fresh browser page, signed in where a user is given; an error or foreign request fails the test.

    `open_page(teacher, color_scheme="dark", viewport={...})` gives a page whose addresses are relative.
    """
    contexts, faults = [], []

    def open_(user=None, **options):
        context = browser.new_context(base_url=live_server.url, **options)
        contexts.append(context)
        if user:
            context.add_cookies([{"name": name, "value": value, "url": live_server.url}
                                 for name, value in signed_in_cookies(user)])
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("pageerror", lambda error: faults.append(f"script: {error}"))
        page.on("request", lambda request: None if request.url.startswith((live_server.url, "data:", "blob:"))
                else faults.append(f"foreign request: {request.url}"))
        page.on("console", lambda message: faults.append(f"console: {message.text}")
                if message.type == "error" and "Content Security Policy" in message.text else None)
        return page

    yield open_
    for context in contexts:
        context.close()
    assert faults == []


def signed_in_cookies(user):
    """The cookies of a person who has signed in."""
    from django.test import Client

    client = Client()
    client.force_login(user, backend=BACKEND)
    return [(name, morsel.value) for name, morsel in client.cookies.items()]


@pytest.fixture
def no_barriers():
    """`no_barriers(page)` fails on any accessibility rule of WCAG 2.2 A and AA that the page breaks."""
    from axe_playwright_python.sync_playwright import Axe

    def check(page):
        tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
        results = Axe().run(page, options={"runOnly": {"type": "tag", "values": tags}})
        assert results.violations_count == 0, results.generate_report()
    return check
