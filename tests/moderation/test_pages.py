"""The pages of release and results: who sees them, and who learns a name."""

import io

import openpyxl
import pytest
from django.urls import reverse

from examkit.models import AuditEntry, Exam, State
from grading.analysis.compare import Comparison
from grading.analysis.spread import spread
from grading.moderation import selectors
from grading.moderation.exports import read_csv
from tests.cast import person
from tests.marking import exams

TEACHERS = ("results", "csv", "xlsx")


def url(name, exam, *more):
    return reverse(f"moderation:{name}", args=[exam.pk, *more])


@pytest.fixture
def page(as_user, teacher):
    """The client of the teacher."""
    return as_user(teacher)


def test_the_release_page_says_what_is_missing(page, exam, entered):
    html = page.get(url("index", exam)).content.decode()

    assert "4 records are not finished" in html and "not given yet" in html
    assert "Agree to the release" not in html


def test_two_people_release_by_the_pages(client, page, as_user, marked, teacher, moderator):
    for who, role in ((teacher, "teacher"), (moderator, "moderator")):
        browser = as_user(who)
        seen = browser.get(url("index", marked)).context["digest"]
        response = browser.post(url("agree", marked), {"role": role, "seen": seen}, follow=True)

    assert "The results are released." in response.content.decode()
    assert Exam.objects.get().state == State.RELEASED


def test_a_stale_consent_is_refused_in_words(page, marked):
    response = page.post(url("agree", marked), {"role": "teacher", "seen": "old"}, follow=True)

    assert "changed since this page was shown" in response.content.decode()


def test_results_name_candidates_and_are_provisional_before_the_release(page, marked):
    html = page.get(url("results", marked)).content.decode()

    assert "Zoë Äpfelwein-Öhlund" in html and "0071" in html and "Provisional" in html
    assert "no record handed in" in html


def test_results_can_be_sorted(page, marked):
    html = page.get(url("results", marked), {"sort": "-name"}).content.decode()

    assert html.index("Zoë") < html.index("Dinah") and 'aria-sort="descending"' in html


def test_the_csv_holds_numbers_and_names_exactly(page, marked):
    response = page.get(url("csv", marked))
    rows = read_csv(response.content)

    assert [row[:3] for row in rows[1:]] == [list(candidate) for candidate in exams.CANDIDATES]
    assert {row[-1] for row in rows[1:]} == {"provisional"}
    assert AuditEntry.objects.last().what == "results exported"


def test_the_workbook_holds_the_same_rows_and_its_marks_can_be_added_up(page, marked):
    book = openpyxl.load_workbook(io.BytesIO(page.get(url("xlsx", marked)).content))
    cells = [list(row) for row in book.active.iter_rows()]
    rows = [["" if cell.value is None else str(cell.value) for cell in row] for row in cells]

    assert rows == read_csv(page.get(url("csv", marked)).content)
    assert rows[2][1] == "=Bartholomew Quill"
    head, one = rows[0], cells[1]
    numbers = [title for title, cell in zip(head, one, strict=True) if cell.data_type == "n"]
    assert numbers == [title for title in head if title.startswith("Marks: ")] + ["Total", "Out of", "Per cent"]


def test_file_names_tell_nothing(page, marked):
    assert page.get(url("csv", marked))["Content-Disposition"] == (
        f'attachment; filename="results-exam-{marked.pk}.csv"'
    )


def test_the_result_sheet_explains_every_mark(page, marked, entered):
    html = page.get(url("sheet", marked, entered.code)).content.decode()

    assert "Zoë Äpfelwein-Öhlund" in html and "is right" in html and "Provisional" in html
    assert html.count("Nothing is written.") > 3


@pytest.mark.parametrize(("chance", "said"), [
    (0.191, "by chance in about 19 of a hundred exams.</p>"),
    (0.031, "in about 3 of a hundred exams. Look whether the salts"),
    (0.0004, "in less than one of a hundred exams. Look whether the salts"),
    (0.0004, "p &lt; 0.001; effect"),
    (0.191, "p = 0.191; effect size ε² = 0.50. With few records for a salt, this says little."),
])
def test_the_comparison_of_the_salts_is_said_in_words(page, marked, monkeypatch, chance, said):
    monkeypatch.setattr(selectors, "salts_compared", lambda _found: Comparison(12.4, 9, chance, 0.5))

    assert said in page.get(url("index", marked)).content.decode()


def test_many_records_of_every_salt_are_not_called_few(page, marked, monkeypatch):
    monkeypatch.setattr(selectors, "salts_compared", lambda _found: Comparison(39.0, 9, 0.00001, 0.64))
    monkeypatch.setattr(selectors, "by_salt", lambda _found: [("KI", spread([50] * 6)), ("NaCl", spread([90] * 5))])

    assert "says little" not in page.get(url("index", marked)).content.decode()


def test_the_sheet_of_a_record_not_handed_in_says_so(page, marked):
    sample = exams.sample_of(marked, "0072")

    assert "no record handed in" in page.get(url("sheet", marked, sample.code)).content.decode()


def test_a_moderator_reads_records_and_awards_without_names(as_user, moderator, marked, entered):
    client = as_user(moderator)
    for address in (url("index", marked), url("records", marked), url("record", marked, entered.code)):
        response = client.get(address)
        told = response.content.decode() + str(dict(response.headers))
        assert response.status_code == 200
        for number, name, group in exams.CANDIDATES:
            assert not [secret for secret in (number, name, name.split()[-1], group) if secret in told]
    assert "Edda Fell" in told and "is right" in told


@pytest.mark.parametrize("role", ["assistant", "examiner"])
def test_others_see_neither_release_nor_results(as_user, cast, marked, entered, role):
    client = as_user(getattr(cast, role))
    names = ("index", "records", *TEACHERS)
    addresses = [url(name, marked) for name in names] + [url("sheet", marked, entered.code)]

    assert {client.get(address).status_code for address in addresses} == {403}
    assert {client.post(url(name, marked)).status_code for name in ("agree", "withdraw")} == {403}


def test_a_moderator_sees_no_results_by_name(as_user, moderator, marked, entered):
    client = as_user(moderator)
    addresses = [url(name, marked) for name in TEACHERS] + [url("sheet", marked, entered.code)]

    assert {client.get(address).status_code for address in addresses} == {403}


def test_another_centres_results_are_no_page(as_user, cast, marked, entered):
    client = as_user(cast.stranger)
    addresses = [url(name, marked) for name in ("index", *TEACHERS)] + [url("sheet", marked, entered.code)]

    assert {client.get(address).status_code for address in addresses} == {404}


def test_another_centres_moderator_reads_no_record(as_user, cast, marked, entered):
    client = as_user(person("far moderator", cast.elsewhere, "moderator"))

    assert client.get(url("record", marked, entered.code)).status_code == 404


def test_a_release_is_withdrawn_by_the_page_with_a_reason(page, marked):
    Exam.objects.update(state=State.RELEASED)
    page.post(url("withdraw", marked), {"reason": ""})
    assert Exam.objects.get().state == State.RELEASED

    page.post(url("withdraw", marked), {"reason": "one record was mixed up"})
    assert Exam.objects.get().state == State.MARKED


def test_the_results_page_asks_the_database_a_fixed_number_of_times(marked, django_assert_max_num_queries):
    with django_assert_max_num_queries(3):
        selectors.results(marked)
