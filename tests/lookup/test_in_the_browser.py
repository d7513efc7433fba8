"""The look-up pages in a real Chromium: no barriers, no page wider than a phone, by keyboard."""

import pytest
from django.urls import reverse

LOOKS = [{"color_scheme": "light", "viewport": {"width": 360, "height": 800}},
         {"color_scheme": "dark", "viewport": {"width": 1280, "height": 800}}]


def pages():
    """One page of each kind, those with a picture or answers in them too."""
    yield reverse("lookup:index")
    for kind, key in (("salt", "NiCl2.6H2O"), ("ion", "Zn2+"), ("test", "borax-bead"), ("test", "confirm-anion"),
                      ("reagent", "ammonia-dilute")):
        yield reverse(f"lookup:{kind}", args=[key])
    yield reverse("lookup:scheme", args=["mixture"]) + "?salts=Pb(NO3)2%20%2B%20ZnCO3"
    yield reverse("lookup:specimen") + "?scheme=mixture&salts=Pb(NO3)2%2BZnCO3"
    yield reverse("lookup:identification") + "?like=NiCl2.6H2O"


@pytest.mark.parametrize("look", LOOKS, ids=["light-360", "dark-1280"])
def test_the_look_up_pages_have_no_barriers(look, examiner, open_page, no_barriers):
    page = open_page(examiner, **look)
    for path in pages():
        page.goto(path)
        no_barriers(page)


def test_no_look_up_page_is_wider_than_a_phone(examiner, open_page):
    page = open_page(examiner, viewport={"width": 320, "height": 700})
    for path in pages():
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, path


def test_a_record_is_identified_by_keyboard_alone(examiner, open_page):
    page = open_page(examiner)
    page.goto(reverse("lookup:identification"))
    page.get_by_label("Begin with the record of").focus()
    page.keyboard.type("NiCl2.6H2O")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="1 salt fits").wait_for()
    page.get_by_label("Smell").focus()
    page.keyboard.press("Home")  # not looked at
    page.keyboard.press("Tab")
    page.get_by_role("button", name="Which salts fit?").focus()
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="1 salt fits").wait_for()

    assert "appearance.odour=&" in page.url
