"""The pages of the class list: shown before it is imported, by a worker or at once, and edited by hand."""

import io

import openpyxl
import pytest

from examkit.models import Candidate, ListWaiting
from examkit.planning import progress, services
from tests.planning import exams
from tests.planning.pages import a_file, text_of, url
from tests.planning.workbooks import saved, workbook

pytestmark = pytest.mark.django_db


def test_an_xlsx_is_shown_before_it_is_imported(page, cast):
    exam = exams.draft(cast)
    services.roster_import(exam=exam, who=cast.teacher, entries=exams.entries(2))
    data = workbook([["Roll no", "Name", "Hobby"], ["001", "Ada", "tea"], ["009", "=1+1", ""]])

    shown = text_of(page.post(url("roster-import", exam.pk), {"list": a_file(data, "list.xlsx")}))

    assert "1 to add, 1 to change, 0 stay" in shown
    assert "Roll no candidate number" in shown and "Hobby not read" in shown
    assert "002 Candidate 2" in shown, "who is not in the file stays and is named"
    assert "this cell holds a formula" in shown


def test_a_column_that_is_not_read_is_told_above_the_button_with_the_headings_that_are(page, cast):
    exam = exams.draft(cast)
    data = b"No,Name,Hobby,Empty\n1,Ada,tea,\n2,Ben,,\n"

    shown = text_of(page.post(url("roster-import", exam.pk), {"list": a_file(data)}))

    assert "A column is not read, and what stands in it is not kept: Hobby : 1 cell Headings that are" in shown
    assert "Help with colours, Extra time (%), Rest breaks, Separate room, Left-handed, Needs" in shown
    assert shown.index("Hobby : 1 cell") < shown.index("Import 2 candidates")


def test_needs_in_free_words_are_shown_as_understood_and_the_others_must_be_noted(page, cast):
    exam = exams.draft(cast)
    data = b"No,Name,Needs\n1,Ada,extra time 25 %; left-handed\n2,Ben,uses a wheelchair; colour-blind\n3,Chi,\n"

    preview = page.post(url("roster-import", exam.pk), {"list": a_file(data)})
    shown = text_of(preview)
    assert "Ada 25 % extra time left-handed bench" in shown and "Ben help with colours" in shown
    assert "line 3, column Needs: &#x27;uses a wheelchair&#x27; of candidate 2 was not understood." in shown
    assert shown.index("uses a wheelchair") < shown.index("Import 3 candidates")

    kept = {"kept": preview.context["kept"]}
    refused = text_of(page.post(url("roster-import-confirm", exam.pk), kept, follow=True))
    assert "tick below them that you have noted them" in refused and not Candidate.objects.exists()
    page.post(url("roster-import-confirm", exam.pk), kept | {"seen": "yes"})
    assert Candidate.objects.get(number="2").needs_colour_help and Candidate.objects.get(number="1").left_handed


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_an_empty_list_is_downloaded_filled_in_and_imported_without_its_example(page, cast, kind):
    exam = exams.draft(cast)
    empty = page.get(f"/exams/roster/empty.{kind}")
    assert f'filename="class-list.{kind}"' in empty["Content-Disposition"]
    data = with_a_row(empty.content, kind, ["007", "Ada"])

    preview = page.post(url("roster-import", exam.pk), {"list": a_file(data, f"list.{kind}")})
    assert "line 2: this row is the example of the empty list, and was passed over." in text_of(preview)
    page.post(url("roster-import-confirm", exam.pk), {"kept": preview.context["kept"]})

    assert list(Candidate.objects.values_list("number", "name")) == [("007", "Ada")]
    alone = page.post(url("roster-import", exam.pk), {"list": a_file(empty.content, f"list.{kind}")})
    assert alone.status_code == 422 and "no candidates below them" in text_of(alone)


def with_a_row(content, kind, cells):
    if kind == "csv":
        return content + (",".join(cells) + "," * 9 + "\r\n").encode()
    book = openpyxl.load_workbook(io.BytesIO(content))
    for column, cell in enumerate(cells, start=1):
        book.active.cell(3, column).value = cell
    return saved(book)


def test_all_problems_of_a_file_are_shown_and_nothing_is_saved(page, cast):
    exam = exams.draft(cast)

    response = page.post(url("roster-import", exam.pk), {"list": a_file(b"No,Name\n1,\n2,Ben\n2,Chi\n")})

    assert response.status_code == 422
    shown = text_of(response)
    assert "2 problems" in shown and "this cell is empty" in shown and "stands in line 3 already" in shown
    assert not Candidate.objects.exists()


def test_names_with_markup_are_shown_as_text(page, cast):
    exam = exams.draft(cast)
    name = "<script>alert(1)</script>"

    preview = page.post(url("roster-import", exam.pk), {"list": a_file(f"No,Name\n1,{name}\n".encode())})
    page.post(url("roster-import-confirm", exam.pk), {"kept": preview.context["kept"]})

    for response in (preview, page.get(url("roster", exam.pk))):
        assert name not in response.content.decode()
        assert "&lt;script&gt;" in response.content.decode()


def test_a_preview_that_was_changed_or_belongs_to_another_exam_is_refused(page, cast):
    exam, other = exams.draft(cast), exams.draft(cast, "Other")
    kept = page.post(url("roster-import", exam.pk), {"list": a_file(b"No,Name\n1,Ada\n")}).context["kept"]

    for pk, sent in ((exam.pk, kept[:-3] + "abc"), (exam.pk, ""), (other.pk, kept)):
        shown = text_of(page.post(url("roster-import-confirm", pk), {"kept": sent}, follow=True))
        assert "This preview is too old or was changed" in shown

    assert not Candidate.objects.exists()


def test_a_confirmed_import_twice_changes_nothing_the_second_time(page, cast):
    exam = exams.draft(cast)
    kept = page.post(url("roster-import", exam.pk), {"list": a_file(b"No,Name\n1,Ada\n")}).context["kept"]
    page.post(url("roster-import-confirm", exam.pk), {"kept": kept})

    shown = text_of(page.post(url("roster-import-confirm", exam.pk), {"kept": kept}, follow=True))

    assert "0 added, 0 changed, 1 stayed" in shown
    assert Candidate.objects.count() == 1


def test_an_import_into_a_drawn_exam_is_refused_in_words(page, cast):
    exam = exams.planned(cast, candidates=4)
    kept = page.post(url("roster-import", exam.pk), {"list": a_file(b"No,Name\n1,Ada\n")}).context["kept"]
    services.draw_make(exam=services.draw_seal(exam=exam, who=cast.teacher), who=cast.teacher)

    shown = text_of(page.post(url("roster-import-confirm", exam.pk), {"kept": kept}, follow=True))

    assert "is drawn, so its roster" in shown
    assert exam.candidates.count() == 4


@pytest.fixture
def with_worker(settings):
    """Tasks wait for a worker on the database."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def work_one_off():
    """What a worker does with the one task that waits (its loop would close the test's connection)."""
    from django_tasks_db.management.commands.db_worker import Worker
    from django_tasks_db.models import DBTaskResult

    waiting = DBTaskResult.objects.get()
    waiting.claim("worker of the test")
    Worker(queue_names=["default"], interval=0, batch=True, backend_name="default", startup_delay=False,
           max_tasks=1, worker_id="worker of the test", excluded_queue_names=[]).run_task(waiting)


def test_with_a_worker_the_import_waits_and_then_tells(page, cast, with_worker):
    from django_tasks_db.models import DBTaskResult

    exam = exams.draft(cast)
    kept = page.post(url("roster-import", exam.pk), {"list": a_file(b"No,Name\n1,Ada\n")}).context["kept"]
    waiting = page.post(url("roster-import-confirm", exam.pk), {"kept": kept})
    assert "1 rows wait for a worker" in text_of(page.get(waiting.url))
    assert not Candidate.objects.exists()

    work_one_off()

    assert not ListWaiting.objects.exists()
    assert "Ada" not in str(DBTaskResult.objects.values()), "what tasks were given outlives the exam"
    assert "1 added" in text_of(page.get(waiting.url, follow=True))
    other = exams.draft(cast, "Other")
    task = waiting.url.rstrip("/").split("/")[-1]
    assert page.get(url("roster-import-state", other.pk, task)).status_code == 404


def test_a_page_that_waits_says_that_rows_are_written_and_how_many_where_that_is_known(page, cast, with_worker):
    from django_tasks_db.models import DBTaskResult

    exam = exams.draft(cast)
    kept = page.post(url("roster-import", exam.pk), {"list": a_file(b"No,Name\n1,Ada\n2,Ben\n")}).context["kept"]
    waiting = page.post(url("roster-import-confirm", exam.pk), {"kept": kept})
    DBTaskResult.objects.get().claim("a worker")
    assert "2 rows are being written" in text_of(page.get(waiting.url))

    progress.tell(waiting.url.rstrip("/").split("/")[-1], 1)
    assert "1 of 2 rows written" in text_of(page.get(waiting.url))


def test_an_unknown_task_is_not_found(page, cast):
    assert page.get(url("roster-import-state", exams.draft(cast).pk, "nothing")).status_code == 404


def test_a_candidate_is_edited_by_hand(page, cast):
    exam = exams.planned(cast, candidates=2)
    form = {"number": "003", "name": "Chi", "sitting_wish": "morning", "bench_wish": "A1", "extra_time_percent": "25",
            "needs_colour_help": "on"}
    page.post(url("candidate-new", exam.pk), form)
    chi = exam.candidates.get(number="003")
    assert (chi.sitting_wish, chi.bench_wish, chi.needs_colour_help) == ("morning", "A1", True)

    page.post(url("candidate", exam.pk, chi.pk), form | {"name": "Chi D."})
    assert exam.candidates.get(number="003").name == "Chi D."
    assert "003 is taken already" in text_of(page.post(url("candidate-new", exam.pk), form))
    page.post(url("candidate-delete", exam.pk, chi.pk), {"reason": "left school"})

    assert exam.candidates.count() == 2


def test_a_candidate_changed_by_somebody_else_meanwhile_is_shown_before_it_is_replaced(page, cast):
    exam = exams.planned(cast, candidates=2)
    found = exam.candidates.first()
    address = url("candidate", exam.pk, found.pk)
    form = {"number": found.number, "name": "Mine", "extra_time_percent": "0", "was": page.get(address).context["was"]}
    exam.candidates.filter(pk=found.pk).update(name="Theirs")

    refused = page.post(address, form)
    assert "name: Theirs" in text_of(refused) and 'value="Mine"' in refused.content.decode()
    assert exam.candidates.get(pk=found.pk).name == "Theirs"

    page.post(address, form | {"was": refused.context["was"]})
    assert exam.candidates.get(pk=found.pk).name == "Mine"
