"""The invigilator's and the teacher's day in a real browser, on a phone and on a desktop, at the same time."""

import pytest
from django.urls import reverse

from examkit.audit import verify
from examkit.day.selectors import place_of
from examkit.models import AuditEntry, State
from tests.day.conftest import on_the_day

pytestmark = [pytest.mark.journey, pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE, DESKTOP = {"width": 390, "height": 844}, {"width": 1280, "height": 900}


def send(page, button):
    page.get_by_role("button", name=button, exact=True).first.click()
    page.wait_for_load_state()


def test_a_sitting_from_the_first_candidate_to_the_end(cast, open_page, no_barriers):
    exam = on_the_day(cast.centre)
    sitting, one = exam.sittings.get(), exam.samples.get(candidate__number="4001")
    helped, late = (exam.samples.get(candidate__number=number) for number in ("4002", "4003"))
    phone, desk = open_page(cast.invigilator, viewport=PHONE), open_page(cast.teacher, viewport=DESKTOP)

    desk.goto(reverse("day:room", args=[exam.pk, sitting.pk]))
    desk.evaluate("window.samePage = true")
    phone.goto("/")
    phone.get_by_role("link", name=exam.name).first.click()
    phone.get_by_role("link", name=sitting.name).click()
    attend(phone, sitting, late, no_barriers)
    desk.get_by_text("Everybody is noted.").wait_for(timeout=15_000)  # the teacher's room has updated by itself
    assert desk.evaluate("window.samePage")

    name_a_colour(phone, exam, sitting, helped)
    second_sample(phone, exam, sitting, one)
    fire_alarm(desk, phone, exam, sitting, helped)
    come_late_after_all(phone, exam, sitting, late)
    phone.goto(reverse("day:candidate", args=[exam.pk, sitting.pk, helped.code]))
    no_barriers(phone)
    no_barriers(desk)
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    desk.goto(exam.get_absolute_url())
    send(desk, "It is sat")
    exam.refresh_from_db()
    assert exam.state == State.SAT
    assert verify(exam.centre) == []


def attend(page, sitting, late, no_barriers):
    """One is absent, all others are there."""
    page.get_by_text("6 of 6 are not noted yet.").wait_for()
    no_barriers(page)
    page.get_by_role("link", name=late.code).click()
    send(page, "Absent")
    page.get_by_role("link", name=sitting.name).click()
    send(page, "All others are here")
    page.get_by_text("5 candidates noted as present.").wait_for()


def name_a_colour(page, exam, sitting, helped):
    page.goto(reverse("day:candidate", args=[exam.pk, sitting.pk, helped.code]))
    page.get_by_label("Test").select_option("flame")
    page.get_by_label("Colour that you named").fill("green")
    send(page, "Note the colour")
    assert place_of(helped).colours == 1


def second_sample(page, exam, sitting, sample):
    page.goto(reverse("day:candidate", args=[exam.pk, sitting.pk, sample.code]))
    page.locator("#second-why").fill("spilt into the sink")
    send(page, "Note the second sample")
    assert place_of(sample).seconds == 1
    page.locator("#second-why").fill("spilt again")
    send(page, "Note the second sample")
    page.get_by_text("No spare tube is left").wait_for()


def fire_alarm(desk, phone, exam, sitting, helped):
    """Time given back to all by the teacher reaches the invigilator's page; too much is taken back."""
    desk.goto(reverse("day:room", args=[exam.pk, sitting.pk]))
    desk.get_by_label("Minutes given back to all").fill("12")
    desk.locator("#room-why").fill("fire alarm, room cleared")
    send(desk, "Give the time back")
    phone.goto(reverse("day:candidate", args=[exam.pk, sitting.pk, helped.code]))
    assert "12 minutes given back" in phone.inner_text("main")
    desk.locator("details[id^=undo-of-] summary").click()
    desk.locator("details[id^=undo-of-] input[name=why]").fill("it was ten")
    send(desk, "Take back")
    assert place_of(helped).minutes == 0
    assert AuditEntry.objects.filter(what="day note undone").get().detail["why"] == "it was ten"


def come_late_after_all(page, exam, sitting, late):
    page.goto(reverse("day:candidate", args=[exam.pk, sitting.pk, late.code]))
    send(page, "Present")
    assert place_of(late).attendance == "present"
