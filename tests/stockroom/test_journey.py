"""The lab assistant's journey in a real browser, on a desktop and on a phone: bottle, trial, amendment, tubes."""

import pytest
from django.urls import reverse

from examkit.models import ShelfItem, State, Trial
from examkit.stockroom.selectors import stock_list
from examkit.stockroom.services import tick
from examkit.stockroom.trials.selectors import frozen_for, trial_row
from tests.stockroom.drawn import drawn_exam
from tests.stockroom.tried import all_tried

pytestmark = [pytest.mark.journey, pytest.mark.browser, pytest.mark.django_db(transaction=True)]
NICKEL = "NiCl2.6H2O"
SCREENS = {"desktop": {"width": 1280, "height": 900}, "phone": {"width": 390, "height": 844}}


@pytest.mark.parametrize("screen", SCREENS)
def test_a_bottle_is_bought_tried_amended_weighed_and_signed_off(cast, open_page, no_barriers, screen):
    exam = drawn_exam(cast.centre)
    page = open_page(cast.assistant, viewport=SCREENS[screen])
    add_a_bottle(page, exam)
    trial = try_it(page, exam, no_barriers)
    amend_it(page, no_barriers)
    weigh(page, exam, no_barriers)
    sign_off(page, exam, cast)

    sample = exam.samples.get(salt=NICKEL)
    assert frozen_for(sample) == trial
    assert "blue precipitate" in str(Trial.objects.get(pk=trial.pk).record)
    assert page.evaluate("document.documentElement.scrollWidth") <= SCREENS[screen]["width"]


def add_a_bottle(page, exam):
    page.goto(reverse("stockroom:bottle-add", args=[exam.pk]))
    for name, value in (("substance", "nickel chloride"), ("amount", "50"), ("lot", "L 17"), ("grade", "pure")):
        page.locator(f"[name={name}]").fill(value)
    page.get_by_role("button", name="Save the bottle").click()
    page.get_by_text("The bottle is on the shelf.").wait_for()
    assert ShelfItem.objects.get().lot == "L 17"


def try_it(page, exam, no_barriers):
    """Every test as expected but one."""
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    page.get_by_role("link", name="nickel(II) chloride hexahydrate").first.click()
    page.get_by_role("button", name="Try this bottle").click()
    page.get_by_role("heading", name="A bottle on the scheme").wait_for()
    page.evaluate("window.samePage = true")
    trial = exam.trials.get()
    for line in trial_row(trial).lines:
        if line.test != "naoh":
            page.locator(f"#yes-{line.test}").click()
            page.locator(f"#line-{line.test}").get_by_text("✓ as expected").wait_for()
    page.locator("#seen-naoh").fill("blue precipitate, no change in excess")
    page.locator("#no-naoh").click()
    page.get_by_text("1 test differs and is not settled.").wait_for()
    assert page.evaluate("window.samePage")  # nothing loaded anew
    no_barriers(page)
    return trial


def amend_it(page, no_barriers):
    """What was seen is accepted for this bottle."""
    page.locator("#line-naoh").get_by_role("link", name="precipitate").click()
    page.locator("[name='0-colours']").fill("blue")
    page.locator("[name=why]").fill("this lot holds cobalt, tried twice")
    no_barriers(page)
    page.get_by_role("button", name="Accept this for the bottle").click()
    page.get_by_text("marking will read it so").wait_for()
    assert "All tests are done and settled" in page.inner_text("#trial-state")


def weigh(page, exam, no_barriers):
    """One tube too full is refused, then weighed again; the rest filled in one act."""
    code = exam.samples.get(salt=NICKEL).code
    page.goto(reverse("stockroom:salt", args=[exam.pk, exam.expected.get(salt=NICKEL).pk]))
    page.get_by_label(f"Mass of {code} in g").fill("1.72")
    page.keyboard.press("Enter")
    page.get_by_text("1.72 g is outside").wait_for()
    page.get_by_label(f"Mass of {code} in g").fill("1.52")
    page.keyboard.press("Enter")
    page.get_by_text("1 of 2 tubes are filled").wait_for()
    no_barriers(page)
    page.get_by_role("button", name="All filled").click()
    page.get_by_text("2 of 2 tubes are filled").wait_for()


def sign_off(page, exam, cast):
    """The other lines through the services, then the sign-off on the page."""
    all_tried(exam, cast.assistant)
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    page.get_by_role("button", name="Sign off the stock room").click()
    page.get_by_text("lines of the stock room's list are not done yet").first.wait_for()
    for line in stock_list(exam).ticks:
        tick(exam=exam, who=cast.assistant, item=line.item, done=True, version=line.version)
    page.reload()
    page.get_by_role("button", name="Sign off the stock room").click()
    page.get_by_text("the exam is prepared").wait_for()
    exam.refresh_from_db()
    assert exam.state == State.PREPARED
