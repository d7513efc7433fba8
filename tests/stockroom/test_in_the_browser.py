"""Ticking the list in a real browser: by keyboard, without a page load, and past the accessibility rules."""

import pytest
from django.urls import reverse

from examkit.models import Preparation
from tests.stockroom.drawn import drawn_exam

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
BUTTON = "#tick-saltnicl26h2o"


def test_a_line_is_ticked_by_keyboard_and_the_focus_stays(cast, open_page):
    exam = drawn_exam(cast.centre)
    page = open_page(cast.assistant)
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    page.evaluate("window.samePage = true")
    page.focus(BUTTON)
    page.keyboard.press("Enter")
    page.wait_for_selector(f"{BUTTON}[aria-pressed=true]")

    assert page.evaluate("window.samePage")
    assert page.evaluate("'#' + document.activeElement.id") == BUTTON
    assert "still open" in page.inner_text("#progress")
    assert Preparation.objects.get().by == cast.assistant


def test_what_a_trial_showed_is_kept_with_its_tick(cast, open_page):
    exam = drawn_exam(cast.centre)
    page = open_page(cast.assistant)
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    form = page.locator("#form-bottlesodium-hydroxide-2m")
    form.locator("[name=note]").fill("white, dissolves in excess")
    form.locator("button").click()
    page.wait_for_selector("#tick-bottlesodium-hydroxide-2m[aria-pressed=true]")

    assert Preparation.objects.get().note == "white, dissolves in excess"
    again = page.locator("#form-bottlesodium-hydroxide-2m")
    assert again.locator("[name=note]").input_value() == "white, dissolves in excess"
    assert again.locator("button").get_attribute("aria-label") == "Done: sodium hydroxide, 2 mol/L"


def test_a_line_is_opened_again_with_a_reason_asked_in_place(cast, open_page):
    exam = drawn_exam(cast.centre)
    page = open_page(cast.assistant)
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    page.locator(BUTTON).click()
    page.locator(f"{BUTTON}[aria-pressed=true]").click()
    page.get_by_text("Give a reason in words").wait_for()
    page.get_by_label("Why it is opened again").fill("two tubes broke")
    page.get_by_role("button", name="Open it again").click()
    page.wait_for_selector(f"{BUTTON}[aria-pressed=false]")

    assert not Preparation.objects.get().done
