"""The house in a real Chromium: keyboard, accessibility, a session that ends while somebody types."""

import pytest
from django.contrib.sessions.models import Session
from django.urls import reverse

from examkit import audit
from examkit.models import Centre, Preparation
from tests import cast as cast_of
from tests.cast import PASSWORD
from tests.stockroom.drawn import drawn_exam

LOOKS = [{"color_scheme": scheme, "viewport": {"width": width, "height": 800}}
         for scheme in ("light", "dark") for width in (360, 1280)]


@pytest.fixture
def exam(centre, teacher):
    audit.record(centre=centre, who=teacher, what="exam planned", about="Spring", detail={"pool": 12})
    return cast_of.exam(centre)


def test_signing_in_works_by_keyboard_alone(cast, open_page):
    page = open_page()
    page.goto("/")
    page.keyboard.type("teacher")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="What is next").wait_for()
    page.keyboard.press("Tab")

    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"


@pytest.mark.parametrize("look", LOOKS, ids=["light-360", "light-1280", "dark-360", "dark-1280"])
def test_the_pages_of_the_house_have_no_barriers(look, exam, teacher, open_page, no_barriers):
    page = open_page(teacher, **look)
    for path in (reverse("home"), reverse("audit"), reverse("password"), "/no/such/page/"):
        page.goto(path)
        no_barriers(page)


def test_no_page_of_the_house_is_wider_than_a_phone(exam, teacher, open_page):
    page = open_page(teacher, viewport={"width": 320, "height": 700})
    for path in (reverse("home"), reverse("audit"), reverse("password")):
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_what_was_typed_survives_a_session_that_ended(cast, open_page):
    page = open_page(cast.teacher)
    page.goto(reverse("password"))
    page.evaluate("""document.querySelector("main form").setAttribute("action", "/centre/");
        const words = document.createElement("textarea"); words.name = "observation";
        document.querySelector("main form").append(words)""")
    page.fill("[name=observation]", "white ppt\nsoluble in excess")
    for field in ("old_password", "new_password1", "new_password2"):
        page.fill(f"[name={field}]", "x")
    Session.objects.all().delete()
    page.get_by_role("button", name="Change password").click()

    page.get_by_role("heading", name="Sign in again").wait_for()
    page.fill("#id_username", "teacher")
    page.fill("#id_password", PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="You are signed in again").wait_for()

    assert page.locator("textarea[name=observation]").input_value() == "white ppt\nsoluble in excess"
    with page.expect_request("**/centre/") as sent:
        page.get_by_role("button", name="Send").click()
    assert "white+ppt%0D%0Asoluble" in sent.value.post_data


def test_a_save_without_reloading_says_that_the_session_ended(cast, open_page):
    page = open_page(cast.teacher)
    page.goto(reverse("home"))
    Session.objects.all().delete()
    page.evaluate("htmx.ajax('POST', '/centre/', {values: {observation: 'white'}})")

    page.get_by_text("Your session has ended, so this was not saved.").wait_for()


def sign_in_again(page, username):
    """The session ends; the person signs in again in another tab, which brings a new token."""
    Session.objects.all().delete()
    other = page.context.new_page()
    other.goto(reverse("sign-in"))
    other.fill("[name=username]", username)
    other.fill("[name=password]", PASSWORD)
    other.keyboard.press("Enter")
    other.get_by_role("heading", name="What is next").wait_for()


def test_a_form_saved_by_htmx_goes_through_after_signing_in_again_elsewhere(cast, open_page):
    exam = drawn_exam(cast.centre)
    page = open_page(cast.assistant)
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    sign_in_again(page, "assistant")
    page.click("#tick-saltnicl26h2o")
    page.wait_for_selector("#tick-saltnicl26h2o[aria-pressed=true]")

    assert Preparation.objects.get().by == cast.assistant


def test_nothing_is_saved_in_the_name_of_another_person_who_signed_in_since(cast, open_page):
    exam = drawn_exam(cast.centre)
    page = open_page(cast.assistant)
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    sign_in_again(page, "teacher")
    page.click("#tick-saltnicl26h2o")
    page.locator("#save-failed").wait_for()
    page.get_by_role("button", name="Sign off the stock room").click()
    page.get_by_role("heading", name="This form was too old to be saved").wait_for()

    assert not Preparation.objects.exists()


def test_a_whole_form_goes_through_after_signing_in_again_elsewhere(cast, open_page):
    page = open_page(cast.teacher)
    page.goto(reverse("planning:rooms"))
    sign_in_again(page, "teacher")
    page.fill("[name=name]", "Laboratory 7")
    page.fill("[name=rows]", "2")
    page.fill("[name=columns]", "2")
    page.locator("main form [type=submit], main form button").first.click()
    page.get_by_text("The room is made.").wait_for()

    assert Centre.objects.get(pk=cast.centre.pk).rooms.get().name == "Laboratory 7"
