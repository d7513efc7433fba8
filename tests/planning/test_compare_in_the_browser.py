"""The pool compared, in a real Chromium: no barriers, not wider than a phone."""

import pytest
from django.urls import reverse

from tests.planning import exams


@pytest.fixture
def address(cast):
    exam = exams.planned(cast, salts=[*exams.SALTS, "NiSO4.6H2O", "NiSO4.7H2O", "BaSO4", "SrSO4"])
    return reverse("planning:compare", args=[exam.pk])


@pytest.mark.parametrize(("scheme", "width"), [("light", 360), ("dark", 1280)])
def test_the_comparison_has_no_barriers(scheme, width, address, teacher, open_page, no_barriers):
    page = open_page(teacher, color_scheme=scheme, viewport={"width": width, "height": 800})
    for query in ("", "?vision=deutan&salt=BaSO4"):
        page.goto(address + query)
        no_barriers(page)


def test_the_comparison_is_not_wider_than_a_phone(address, teacher, open_page):
    page = open_page(teacher, viewport={"width": 320, "height": 700})
    page.goto(address)

    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_a_salt_is_chosen_in_the_table_by_keyboard(address, teacher, open_page):
    page = open_page(teacher)
    page.goto(address)
    page.get_by_role("link", name="BaSO₄").first.focus()
    page.keyboard.press("Enter")

    page.get_by_role("heading", name="BaSO₄ against the others").wait_for()
