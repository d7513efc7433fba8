"""From the invigilator's slips to the examiner's marks, with no paper in between, in real browsers."""

import pytest
from django.urls import reverse

from examkit import audit
from examkit.day.services import rest_present
from examkit.models import State
from grading.models import Award, Record, Way
from tests.entry import sat
from tests.marking.exams import sample_of


@pytest.fixture
def exam(cast):
    return sat.exam_on_the_day(cast.centre)


def test_a_record_typed_at_the_bench_is_marked_like_one_on_paper(exam, cast, open_page):
    desk = open_page(cast.teacher)
    desk.goto(reverse("planning:exam", args=[exam.pk]))
    desk.get_by_role("link", name="At the bench").click()
    desk.check("[name=choices]")
    desk.get_by_role("button", name="Save this rule").click()
    desk.get_by_text("The rules of the bench page are saved.").wait_for()

    door = open_page(cast.invigilator)
    door.goto(reverse("door:index", args=[exam.pk]))
    assert door.get_by_role("button", name="Save this rule").count() == 0
    door.get_by_role("button", name="Give out codes").click()
    sample = sample_of(exam, "0071")
    slip = door.locator(".slips li", has_text=f"{sample.code[:3]} {sample.code[3:]}")
    code = slip.locator(".one-time").inner_text()

    bench = open_page(viewport={"width": 390, "height": 800}, service_workers="block")
    bench.goto("/sign-in/")
    bench.get_by_role("link", name="For candidates at the bench").click()
    bench.fill("#id_sample", sample.code)
    bench.fill("#id_password", code)
    bench.get_by_role("button", name="Open my record").click()
    bench.get_by_text("You can write until").wait_for()
    bench.wait_for_load_state()
    bench.select_option("[name=flame-choice]", label=option(bench, "flame", "no distinct colour"))
    bench.context.set_offline(True)
    bench.fill("[name=naoh-observation]", "pale green ppt, insol in xs")
    bench.fill("[name=naoh-inference]", "Ni2+")
    bench.context.set_offline(False)
    bench.fill("#result-cation", "Ni2+")
    bench.fill("#result-anion", "chloride")
    bench.locator("#state", has_text="Everything that you wrote is saved.").wait_for(timeout=25_000)
    bench.get_by_role("button", name="Look through and hand in").click()
    bench.get_by_role("button", name="Hand in").click()
    bench.get_by_text("is handed in").wait_for()

    door.get_by_role("link", name="Back to the sittings").click()
    assert "handed in" in door.locator("tr", has_text=f"{sample.code[:3]} {sample.code[3:]}").inner_text()
    rest_present(sitting=exam.sittings.get(), who=cast.invigilator)
    desk.goto(reverse("planning:exam", args=[exam.pk]))
    desk.get_by_text("The bench page is open for 3 candidates").wait_for()
    door.get_by_text("Close the bench page for this sitting").click()
    door.get_by_role("button", name="Close it for Morning").click()
    door.get_by_text("The bench page is closed").wait_for()
    desk.reload()
    desk.get_by_role("button", name="It is sat").click()
    desk.get_by_text("The exam is now: sat.").wait_for()

    page = open_page(cast.examiner)
    page.goto(reverse("marking:record", args=[exam.pk, sample.code]))
    page.get_by_text("Typed at the bench by the candidate.").wait_for()
    page.goto(reverse("marking:marks", args=[exam.pk, sample.code]))
    page.get_by_text("pale green ppt, insol in xs").first.wait_for()
    page.locator(".accept").first.click()
    page.locator(".given").first.wait_for()

    exam.refresh_from_db()
    record = Record.objects.get(sample=sample)
    assert (exam.state, record.way, record.cation) == (State.SAT, Way.BENCH, "Ni2+")
    assert Award.objects.get().by == cast.examiner
    assert audit.verify(exam.centre) == []


def option(page, test, words):
    """The whole label, with its number, of an outcome in a list."""
    return page.locator(f"[name={test}-choice] option", has_text=words).first.inner_text()
