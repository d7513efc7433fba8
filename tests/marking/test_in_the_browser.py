"""The examiner's pages in a real Chromium: marking by keyboard, saves without a page load, and their interruptions."""

import pytest
from django.contrib.sessions.models import Session
from django.urls import reverse

from grading.models import Award, RecordLine
from tests.cast import PASSWORD

OBSERVED, INFERRED = "appearance.observation", "appearance.inference"


def address(name, sample):
    return reverse(f"marking:{name}", args=[sample.exam_id, sample.code])


def focused(page):
    return page.evaluate("document.activeElement.name")


def status(page, part):
    return page.locator(f"#part-{part.replace('.', '-')} .status")


def leave(page, name, words):
    """Type words into a field and leave it."""
    page.fill(f"[name={name}]", words)
    page.keyboard.press("Tab")


def test_marks_are_given_by_keyboard_alone(entered, examiner, open_page):
    page = open_page(examiner)
    page.goto(address("marks", entered))
    assert focused(page) == f"{OBSERVED}-marks"

    page.keyboard.press("Enter")
    status(page, OBSERVED).get_by_text("1 by Edda Fell").wait_for()
    assert focused(page) == f"{INFERRED}-marks"

    page.keyboard.type("0")
    page.keyboard.press("Enter")
    assert focused(page) == f"{INFERRED}-reason"
    page.keyboard.type("crossed out")
    page.keyboard.press("Enter")
    status(page, INFERRED).get_by_text("0 by Edda Fell").wait_for()

    assert dict(Award.objects.values_list("part", "reason")) == {OBSERVED: "", INFERRED: "crossed out"}
    assert "2 of" in page.inner_text("#totals")


def test_going_back_to_the_suggested_mark_takes_the_reason_of_the_other_away(entered, examiner, open_page):
    page = open_page(examiner)
    page.goto(address("marks", entered))
    page.keyboard.type("0")
    page.keyboard.press("Enter")
    page.keyboard.type("a slip of mine")
    page.keyboard.press("Enter")
    status(page, OBSERVED).get_by_text("0 by Edda Fell").wait_for()

    page.fill(f"[name='{OBSERVED}-marks']", "1")
    page.keyboard.press("Enter")
    status(page, OBSERVED).get_by_text("1 by Edda Fell").wait_for()
    assert page.input_value(f"[name='{OBSERVED}-reason']") == ""
    assert dict(Award.objects.values_list("part", "reason")) == {OBSERVED: ""}


def test_moving_through_the_marks_awards_nothing(entered, examiner, open_page):
    page = open_page(examiner)
    page.goto(address("marks", entered))
    for key in ("ArrowDown", "ArrowDown", "n", "ArrowUp", "r", "Tab", "Tab"):
        page.keyboard.press(key)

    assert not Award.objects.exists()


def test_a_line_is_saved_when_it_is_left(sample, examiner, open_page):
    page = open_page(examiner)
    page.goto(address("record", sample))
    leave(page, "naoh-observation", "pale green ppt")
    page.locator("#line-naoh .saved").wait_for()

    assert RecordLine.objects.get().observation == "pale green ppt"


def test_words_typed_after_the_session_ended_are_saved_once_signed_in_again(sample, examiner, open_page):
    page = open_page(examiner)
    page.goto(address("record", sample))
    Session.objects.all().delete()
    leave(page, "naoh-observation", "typed late")
    page.locator("#session-ended").wait_for()
    assert page.input_value("[name=naoh-observation]") == "typed late"

    other = page.context.new_page()
    other.goto(reverse("sign-in"))
    other.fill("[name=username]", "examiner")
    other.fill("[name=password]", PASSWORD)
    other.keyboard.press("Enter")
    other.get_by_role("heading", name="What is next").wait_for()
    leave(page, "naoh-observation", "typed late.")
    page.locator("#line-naoh .saved").wait_for()

    assert RecordLine.objects.get().observation == "typed late."


def test_two_tabs_on_one_line_show_both_versions(entered, examiner, open_page):
    first, second = open_page(examiner), open_page(examiner)
    for page in (first, second):
        page.goto(address("record", entered))
    leave(first, "naoh-observation", "from one tab")
    first.locator("#line-naoh .saved").wait_for()
    leave(second, "naoh-observation", "from the other")
    second.locator("#line-naoh").get_by_text("from one tab").wait_for()

    second.check("#replace-naoh")
    second.locator("#line-naoh .saved").wait_for()
    assert RecordLine.objects.get(test="naoh").observation == "from the other"


def test_a_record_is_entered_and_marked_without_javascript(sample, examiner, open_page):
    page = open_page(examiner, java_script_enabled=False)
    page.goto(address("record", sample))
    page.fill("[name=appearance-observation]", "green crystals")
    page.get_by_role("button", name="Save and go to the marks").click()
    page.locator(".accept").first.click()
    page.get_by_text("1 of").first.wait_for()

    assert Award.objects.get().by == examiner


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_examiners_pages_have_no_barriers(entered, examiner, open_page, no_barriers, look, width):
    page = open_page(examiner, color_scheme=look, viewport={"width": width, "height": 800})
    for path in (
        reverse("marking:index", args=[entered.exam_id]),
        address("record", entered),
        address("marks", entered),
    ):
        page.goto(path)
        no_barriers(page)
