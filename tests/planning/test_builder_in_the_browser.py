"""Planning in a real Chromium, on a desktop and on a phone: no barriers, not too wide, and done by a teacher."""

import pytest
from django.urls import reverse

from examkit.planning import services
from tests.planning import exams

DESK, PHONE = {"width": 1280, "height": 900}, {"width": 320, "height": 700}
PAGES = ("exam", "staff", "exam-copy", "rules", "suggested", "roster-import", "sittings", "draw")


@pytest.fixture
def planned(cast):
    return exams.planned(cast, candidates=36)


def addresses(exam):
    return [reverse(f"planning:{name}", args=[exam.pk]) for name in PAGES] + [
        reverse("planning:suggested", args=[exam.pk]) + "?number=8",
        reverse("planning:room", args=[exam.sittings.first().room.pk])]


@pytest.mark.parametrize(("scheme", "size"), [("light", DESK), ("dark", PHONE)], ids=["desktop", "phone"])
def test_the_pages_of_planning_have_no_barriers_and_fit(scheme, size, planned, teacher, open_page, no_barriers):
    page = open_page(teacher, color_scheme=scheme, viewport=size)
    for address in addresses(planned):
        page.goto(address)
        no_barriers(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"], address


def test_a_room_is_drawn_on_its_grid_on_a_phone(planned, teacher, open_page):
    room = planned.sittings.first().room
    page = open_page(teacher, viewport=PHONE)
    page.goto(reverse("planning:room", args=[room.pk]))
    page.get_by_label("sink").check()
    page.get_by_role("button", name="C2").click()

    page.get_by_role("button", name="C2 sink").wait_for()
    assert page.get_by_label("sink", exact=True).is_checked(), "the tool stays chosen for the next place"
    page.get_by_text("1 sink is shared by benches.").wait_for()


def test_a_pool_is_suggested_and_taken(planned, teacher, open_page):
    page = open_page(teacher, viewport=DESK)
    page.goto(reverse("planning:pool", args=[planned.pk]))
    page.get_by_role("link", name="Let a pool be suggested").click()
    page.get_by_label("Salts wanted").fill("9")
    page.get_by_role("button", name="Suggest a pool").click()
    page.get_by_role("heading", name="9 salts suggested").wait_for()
    page.get_by_role("button", name="Take this as the pool").click()

    page.get_by_text("The pool has 9 salts.").wait_for()


def test_a_late_candidate_is_drawn_alone_on_a_phone(cast, planned, teacher, open_page):
    services.draw_make(exam=services.draw_seal(exam=planned, who=cast.teacher), who=cast.teacher)
    page = open_page(teacher, viewport=PHONE)
    page.goto(reverse("planning:draw", args=[planned.pk]))
    page.get_by_role("link", name="Draw single seats anew").click()
    page.locator("summary", has_text="A late candidate").click()
    form = page.locator("details[open] form")
    form.locator("[name=late-number]").fill("900")
    form.locator("[name=late-name]").fill("Late Comer")
    form.get_by_label("Reason").fill("came from another school")
    form.get_by_role("button").click()

    page.get_by_role("cell", name="came from another school").wait_for()
    assert planned.samples.filter(candidate__number="900").exists()
