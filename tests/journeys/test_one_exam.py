"""One exam in a real browser, from class list to results: teacher, lab assistant, examiner, moderator."""

import csv
import io
import re

import openpyxl
import pypdfium2
import pytest
from django.core.management import call_command
from django.urls import reverse

from examkit.chemistry.formula import pretty
from examkit.demo.exams import CLASS_LIST, POOL
from examkit.knowledge import knowledge
from examkit.models import Exam, Preparation, Sample, State
from examkit.planning.roster import read_roster
from examkit.stockroom.selectors import stock_list
from examkit.stockroom.services import tick
from grading.demo.candidates import write
from grading.demo.records import enter, mark
from grading.models import Award, RecordLine
from tests.stockroom.tried import all_tried

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


def test_one_exam_from_class_list_to_results(cast, open_page):
    """Every role does its own part in its own browser; nobody sees what they must not."""
    teacher, assistant = open_page(cast.teacher), open_page(cast.assistant)
    examiner, moderator = open_page(cast.examiner), open_page(cast.moderator)
    exam = plan(teacher, FILES["csv"])
    draw(teacher, exam)
    look_at_the_sheets(teacher, exam)
    prepare(assistant, exam, cast)
    sit(teacher, exam)
    mark_one_by_keyboard(examiner, exam)
    enter_and_mark_the_rest(exam, cast)
    hand_over(examiner, exam)
    release(teacher, moderator, exam)

    rows = results(teacher, exam)
    assert len(rows) == 40
    assert rows[0]["Candidate number"] == "001"
    assert {"ليلى البستانية", "Jarek Śliwowiec"} <= {row["Name"] for row in rows}
    call_command("verify", str(exam.pk))


def look_at_the_sheets(page, exam):
    """The teacher prints the record sheets: 40 candidates, no salt on any page."""
    answer = page.request.get(reverse("printing:record-sheets", args=[exam.pk]))
    assert answer.headers["content-type"] == "application/pdf"
    text = text_of(answer.body())
    assert all(code in text.replace(" ", "") for code in exam.samples.values_list("code", flat=True))
    titles = " ".join(test.title for test in knowledge().tests.values())  # ammonium chloride is a reagent, too
    names = [name for salt in POOL for name in (knowledge().salts[salt].name, pretty(salt)) if name not in titles]
    assert not [name for name in names if name in text]


def text_of(pdf):
    """All text of a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def prepare(page, exam, cast):
    """The lab assistant ticks a line without a page load, then the rest is done, then signs off."""
    page.goto(reverse("stockroom:overview", args=[exam.pk]))
    text = page.inner_text("main")
    assert "potassium iodide" in text
    assert not [name for name in exam.candidates.values_list("name", flat=True) if name in text]
    page.get_by_role("button", name="Mark done").first.click()
    page.get_by_role("button", name=re.compile("^Done: ")).first.wait_for()
    assert Preparation.objects.filter(exam=exam, done=True).count() == 1
    exam.refresh_from_db()
    for line in stock_list(exam).ticks:
        if not line.done:
            tick(exam=exam, who=cast.assistant, item=line.item, done=True, version=line.version)
    all_tried(exam, cast.assistant)
    page.reload()
    press(page, "Sign off the stock room")
    assert Exam.objects.get(pk=exam.pk).state == State.PREPARED


def sit(page, exam):
    """The teacher says that the exam was sat."""
    for sitting in exam.sittings.all():
        page.goto(reverse("day:room", args=[exam.pk, sitting.pk]))
        press(page, "All others are here")
    page.goto(exam.get_absolute_url())
    press(page, "It is sat")
    assert Exam.objects.get(pk=exam.pk).state == State.SAT


def mark_one_by_keyboard(page, exam):
    """The examiner enters a record in free text and marks it without touching the mouse."""
    sample = exam.samples.get(code=exam.samples.filter(salt="CuSO4.5H2O").order_by("code").first().code)
    page.goto(reverse("marking:record", args=[exam.pk, sample.code]))
    page.get_by_role("heading", name="Record").wait_for()
    for field, words in (("observation", "blue ppt, insol in xs"), ("inference", "Cu2+ may be present")):
        with page.expect_response(lambda answer: "/record/naoh/" in answer.url):
            page.locator(f"[name='naoh-{field}']").fill(words)
            page.keyboard.press("Tab")
    line = RecordLine.objects.get(record__sample=sample, test="naoh")
    assert line.observation == "blue ppt, insol in xs"

    page.goto(reverse("marking:marks", args=[exam.pk, sample.code]))
    names = exam.candidates.values_list("name", flat=True)
    assert not [name for name in names if name in page.content()]
    assert Award.objects.filter(record__sample=sample).count() == 0  # a suggestion is no mark
    page.locator("[name='naoh.observation-marks']").focus()
    with page.expect_response(lambda answer: "/award/" in answer.url):
        page.keyboard.press("Enter")
    assert Award.objects.get(record__sample=sample, part="naoh.observation").steps == 2


def enter_and_mark_the_rest(exam, cast):
    """The other records, through the services that the pages use."""
    expected = {kept.salt: kept.record for kept in exam.expected.all()}
    salts = sorted(expected)
    for sample in exam.samples.select_related("candidate", "exam__centre"):
        RecordLine.objects.filter(record__sample=sample).delete()
        Award.objects.filter(record__sample=sample).delete()
        other = expected[salts[salts.index(sample.salt) - 1]]
        enter(sample, write(sample.candidate.number, expected[sample.salt], other), cast.examiner)
        mark(sample, cast.examiner)


def hand_over(page, exam):
    """The examiner hands the marked exam to the teacher."""
    page.goto(reverse("marking:index", args=[exam.pk]))
    press(page, "Hand over to the teacher")
    assert Exam.objects.get(pk=exam.pk).state == State.MARKED


def release(teacher, moderator, exam):
    """Two people agree to the same results."""
    for page, role in ((teacher, "teacher"), (moderator, "moderator")):
        page.goto(reverse("moderation:index", args=[exam.pk]))
        press(page, f"Agree to the release as {role}")
    assert Exam.objects.get(pk=exam.pk).state == State.RELEASED


def results(page, exam):
    """The rows of the CSV, which must say the same as the workbook."""
    table = page.request.get(reverse("moderation:csv", args=[exam.pk])).text().lstrip("\ufeff")
    rows = list(csv.DictReader(io.StringIO(table)))
    book = openpyxl.load_workbook(io.BytesIO(page.request.get(reverse("moderation:xlsx", args=[exam.pk])).body()))
    sheet = [[str(cell or "") for cell in row] for row in book.worksheets[0].iter_rows(values_only=True)]
    assert len(sheet) == len(rows) + 1
    assert [row[1] for row in sheet[1:]] == [row["Name"] for row in rows]
    return rows


def neighbours_sharing_a_salt(samples):
    """Pairs of codes on neighbouring benches (eight around) of one sitting with the same salt."""
    places = [(s.sitting_id, s.bench.row, s.bench.column, s.salt, s.code) for s in samples.select_related("bench")]
    return [
        (one[4], other[4]) for one in places for other in places
        if one[4] < other[4] and one[0] == other[0] and one[3] == other[3]
        and max(abs(one[1] - other[1]), abs(one[2] - other[2])) == 1
    ]
