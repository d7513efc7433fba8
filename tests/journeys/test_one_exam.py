"""One exam in a real browser, from class list to results: teacher, lab assistant, examiner, moderator."""

import io
import re

import openpyxl
import pytest
from django.urls import reverse

from examkit.demo.exams import CLASS_LIST, POOL
from examkit.models import Exam, Sample, State
from examkit.planning.roster import read_roster
from grading.models import Award

pytestmark = [pytest.mark.journey, pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def as_xlsx(path):
    """The class list as a workbook, every cell as text."""
    book = openpyxl.Workbook()
    for entry in read_roster(path.read_bytes(), path.name).entries:
        book.active.append([entry.number, entry.name, entry.group])
    book.active.insert_rows(1)
    for column, heading in enumerate(("Candidate number", "Name", "Class"), start=1):
        book.active.cell(1, column, heading)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def press(page, name):
    """Press the button of this name and wait for the page that follows."""
    page.get_by_role("button", name=name).first.click()
    page.wait_for_load_state()


def plan(page, class_list):
    """The teacher's part: exam, room, two sittings, class list, pool."""
    page.goto("/")
    page.get_by_role("link", name="Plan a new exam").click()
    page.get_by_label("Name").fill("Unknown salt, journey")
    press(page, "Make the exam")

    page.goto(reverse("planning:rooms"))
    page.get_by_label("Name").fill("Laboratory 1")
    press(page, "Make the room")
    exam = Exam.objects.get()
    for sitting in ("Morning", "Afternoon"):
        page.goto(reverse("planning:sittings", args=[exam.pk]))
        page.get_by_label("Name").fill(sitting)
        page.get_by_label("Room").select_option(label="Laboratory 1")
        press(page, "Add the sitting")

    page.goto(reverse("planning:roster-import", args=[exam.pk]))
    page.set_input_files("input[type=file]", files=[class_list])
    press(page, "Read the list")
    press(page, "Import 40 candidates")

    page.goto(reverse("planning:pool", args=[exam.pk]))
    for formula in POOL:
        page.locator(f'input[name=salt][value="{formula}"]').check()
    press(page, "Save the pool")
    return exam


def draw(page, exam):
    """Seal, then draw."""
    page.goto(reverse("planning:draw", args=[exam.pk]))
    press(page, "Seal the draw")
    commitment = Exam.objects.get().commitment
    assert re.fullmatch(r"[0-9a-f]{64}", commitment)
    assert commitment in page.inner_text("main")
    press(page, "Draw now")
    assert "No two neighbours have the same salt." in page.inner_text("main")


FILES = {
    "csv": {"name": "list.csv", "mimeType": "text/csv", "buffer": CLASS_LIST.read_bytes()},
    "xlsx": {"name": "list.xlsx", "mimeType": "application/octet-stream", "buffer": as_xlsx(CLASS_LIST)},
}


@pytest.mark.parametrize("kind", FILES)
def test_a_teacher_plans_and_draws_an_exam_for_forty(kind, cast, open_page):
    page = open_page(cast.teacher)
    exam = plan(page, FILES[kind])
    draw(page, exam)

    samples = Sample.objects.filter(exam=exam)
    assert samples.count() == 40
    assert set(samples.values_list("salt", flat=True)) == set(POOL)
    assert Exam.objects.get().state == State.DRAWN
    assert neighbours_sharing_a_salt(samples) == []
    assert Award.objects.count() == 0


def neighbours_sharing_a_salt(samples):
    """Pairs of codes on neighbouring benches (eight around) of one sitting with the same salt."""
    places = [(s.sitting_id, s.bench.row, s.bench.column, s.salt, s.code) for s in samples.select_related("bench")]
    return [
        (one[4], other[4]) for one in places for other in places
        if one[4] < other[4] and one[0] == other[0] and one[3] == other[3]
        and max(abs(one[1] - other[1]), abs(one[2] - other[2])) == 1
    ]
