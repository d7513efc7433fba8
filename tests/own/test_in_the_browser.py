"""The pages of what is our own in a real Chromium: no barriers, no page wider than a phone, keyboard alone."""

import pytest
from django.urls import reverse

from examkit.models import Own
from tests.house.test_in_the_browser import LOOKS
from tests.own import entries
from tests.own.test_schemes import copy

IDS = ["light-360", "light-1280", "dark-360", "dark-1280"]


@pytest.fixture
def addresses(cast):
    salt = entries.add_salt(cast)
    entries.add(cast, "reagent", entries.WEAK_AMMONIA, "ammonia-dilute")
    outcome, scheme = entries.add(cast, "outcome", entries.BLUISH), copy(cast)
    return [reverse("own:index"), reverse("own:salt-new"), reverse("own:reagents"),
            reverse("own:reagent-new", args=["ammonia-dilute"]), reverse("own:outcome-where"),
            *(reverse("own:change", args=[entry.pk]) for entry in (salt, outcome, scheme)),
            reverse("own:scheme-copy")]


@pytest.mark.parametrize("look", LOOKS, ids=IDS)
def test_the_pages_have_no_barriers(look, addresses, teacher, open_page, no_barriers):
    page = open_page(teacher, **look)
    for address in addresses:
        page.goto(address)
        no_barriers(page)


def test_a_refused_form_has_no_barriers_and_says_what_is_missing(cast, teacher, open_page, no_barriers):
    entry = copy(cast)
    page = open_page(teacher)
    page.goto(reverse("own:change", args=[entry.pk]))
    page.get_by_label("Carbonate group: ammonium carbonate: in the scheme").uncheck()
    page.get_by_role("button", name="Save").click()

    page.get_by_role("alert").get_by_text("No test answers group IV").wait_for()
    no_barriers(page)


def test_no_page_is_wider_than_a_phone(addresses, teacher, open_page):
    page = open_page(teacher, viewport={"width": 320, "height": 700})
    for address in addresses:
        page.goto(address)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, address


def test_an_outcome_is_accepted_by_keyboard_alone(teacher, open_page):
    page = open_page(teacher)
    page.goto(f"{reverse('own:outcome-new')}?subject=Ni2%2B&place=naoh.tube")
    page.get_by_label("Colours, any of them").first.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("bluish green")
    page.get_by_label("Why, and where it comes from").focus()
    page.keyboard.type("seen by all in March")
    page.keyboard.press("Enter")

    page.get_by_text("Saved. It counts from now on").wait_for()
    assert Own.objects.get().data["seen"][0]["colours"] == ["bluish green"]
