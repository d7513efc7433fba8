"""Records from files: read as they came, everything wrong told at once, saved all or none."""

import io
import json

import pytest
import yaml
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from examkit.errors import ChangedMeanwhile
from examkit.models import AuditEntry, State
from grading.entry.files.compare import compare
from grading.entry.files.reading import read_file
from grading.entry.files.services import FileRefused, records_import
from grading.entry.files.written import Cell, Entry
from grading.models import Record, RecordLine, Way
from tests.marking import exams
from tests.marking.exams import enter, enter_line, sample_of

HEAD = "Sample code,Test,Observation,Inference,Cation,Anion\n"

pytestmark = pytest.mark.database


@pytest.fixture
def exam(cast):
    return exams.sat_exam(cast.centre)


@pytest.fixture
def client(as_user, examiner):
    return as_user(examiner)


def csv(*rows, head=HEAD):
    return (head + "\n".join(rows) + "\n").encode()


def xlsx(*rows, head=HEAD):
    book = Workbook()
    for row in (head.strip().split(","), *rows):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def upload(client, exam, data, name="records.csv"):
    return client.post(reverse("records:import", args=[exam.pk]), {"file": SimpleUploadedFile(name, data)})


def told(answer):
    """(line, column, problem) of every row of the table of problems."""
    return [(problem.line, problem.column, problem.what) for problem in answer.context["problems"]]


def imported(client, exam, data, name="records.csv"):
    """Read a file and confirm what is shown."""
    page = upload(client, exam, data, name)
    assert page.status_code == 200, told(page)
    return client.post(reverse("records:confirm", args=[exam.pk]), {"kept": page.context["kept"]}, follow=True)


# the usual case, in each kind

def test_a_csv_file_becomes_records(client, exam, sample, examiner):
    answer = imported(client, exam, csv(f"{sample.code},naoh,\"pale green ppt, insol.\",Ni2+,,",
                                        f"{sample.code},result,,,Ni2+,chloride"))

    assert "Imported. Lines: 2; records: 1." in answer.content.decode()
    line, record = RecordLine.objects.get(), Record.objects.get()
    assert (line.observation, line.inference) == ("pale green ppt, insol.", "Ni2+")
    assert (record.cation, record.anion, record.way, record.entered_by) == ("Ni2+", "chloride", Way.FILE, examiner)
    assert record.paper["parts"]


def test_an_xlsx_file_becomes_records_and_numbers_stay_text(client, exam, sample):
    imported(client, exam, xlsx([sample.code, "Sodium hydroxide", "2 ppts", None, None, None],
                                [sample.code, "flame", 7, None, None, None]), "records.xlsx")

    assert dict(RecordLine.objects.values_list("test", "observation")) == {"naoh": "2 ppts", "flame": "7"}


@pytest.mark.parametrize("dump", [lambda records: yaml.safe_dump(records), json.dumps])
def test_a_yaml_or_json_file_becomes_records_and_words_stay_words(dump, client, exam, sample):
    records = [{"sample": sample.code, "lines": [{"test": "naoh", "observation": "no", "inference": "1e3"}],
                "result": {"cation": "Ni2+", "anion": ""}}]
    imported(client, exam, dump(records).replace("'no'", "no").encode(), "records.yaml")

    assert (RecordLine.objects.get().observation, RecordLine.objects.get().inference) == ("no", "1e3")
    assert Record.objects.get().cation == "Ni2+"


def test_nothing_is_saved_before_it_is_confirmed(client, exam, sample):
    page = upload(client, exam, csv(f"{sample.code},naoh,green ppt,,,"))

    assert "Nothing is saved yet." in page.content.decode()
    assert not Record.objects.exists()


def test_what_stands_already_is_shown_beside_what_would_come(client, exam, sample, examiner):
    enter_line(sample, examiner, "naoh", "white ppt")
    enter_line(sample, examiner, "flame", "none")
    page = upload(client, exam, csv(f"{sample.code},naoh,green ppt,,,", f"{sample.code},flame,none,,,"))

    (change,) = page.context["difference"].changes
    assert (change.now, change.then) == (("white ppt", ""), ("green ppt", ""))
    assert page.context["difference"].same == 1


def test_words_are_kept_as_they_came(client, exam, sample):
    words = "  wht ppt ↓\n<b>=1+1</b> Ω"
    imported(client, exam, csv(f'{sample.code},naoh,"{words}",-OH,,'))

    assert (RecordLine.objects.get().observation, RecordLine.objects.get().inference) == (words, "-OH")


def test_every_earlier_version_is_in_the_trail(client, exam, sample, examiner):
    enter_line(sample, examiner, "naoh", "white ppt")
    imported(client, exam, csv(f"{sample.code},naoh,green ppt,,,"))

    entry = AuditEntry.objects.get(what="record imported")
    assert entry.detail == {"file": "records.csv", "lines": {"naoh": [["white ppt", ""], ["green ppt", ""]]}}
    assert RecordLine.objects.get().version == 2


def test_a_code_is_read_in_any_case_and_with_spaces(client, exam, sample):
    imported(client, exam, csv(f"{sample.code[:3].lower()} {sample.code[3:]},naoh,green ppt,,,"))

    assert RecordLine.objects.get().record.sample == sample


@pytest.mark.parametrize("head", ["code;test;observed;inferred\n", "CODE\tTest\tObservation\n", "\ufeffCode,Test,Observation\n"])
def test_headings_are_known_in_their_usual_spellings(head, client, exam, sample):
    mark = next(mark for mark in ";\t," if mark in head)
    imported(client, exam, csv(mark.join([sample.code, "naoh", "green ppt"]) + (mark if ";" in head else ""), head=head))

    assert RecordLine.objects.get().observation == "green ppt"


def test_rows_without_words_change_nothing(client, exam, sample, examiner):
    enter_line(sample, examiner, "naoh", "white ppt")
    imported(client, exam, csv(f"{sample.code},naoh,,,,", f"{sample.code},flame,none,,,"))

    assert RecordLine.objects.get(test="naoh").observation == "white ppt"


@pytest.mark.parametrize("kind", ["csv", "xlsx", "yaml"])
def test_the_template_holds_every_open_record_and_comes_back(kind, client, exam, sample, examiner):
    enter(sample_of(exam, "0072"), examiner)
    answer = client.get(reverse("records:template", args=[exam.pk, kind]))
    data = answer.content
    assert answer["Content-Disposition"] == f'attachment; filename="records-{exam.pk}.{kind}"'
    assert sample_of(exam, "0072").code not in str(read_file(data, f"x.{kind}")) + data.decode(errors="ignore")

    if kind == "csv":
        data = data.replace(f'"{sample.code}","naoh",""'.encode(), f'"{sample.code}","naoh","green ppt"'.encode())
    elif kind == "yaml":
        records = yaml.safe_load(data)
        next(r for r in records if r["sample"] == sample.code)["lines"][14]["observation"] = "green ppt"
        data = yaml.safe_dump(records).encode()
    else:
        book = load_workbook(io.BytesIO(data))
        row = next(row for row in book.active if (row[0].value, row[1].value) == (sample.code, "naoh"))
        row[2].value = "green ppt"
        out = io.BytesIO()
        book.save(out)
        data = out.getvalue()
    imported(client, exam, data, f"records.{kind}")
    assert RecordLine.objects.get(record__sample=sample).observation == "green ppt"


def test_a_template_of_another_kind_is_not_there(client, exam):
    assert client.get(reverse("records:template", args=[exam.pk, "doc"])).status_code == 404


# what is wrong, all at once

def test_all_that_is_wrong_is_told_at_once_with_line_and_column(client, exam, sample, examiner):
    marked = sample_of(exam, "0073")
    enter(marked, examiner)
    Record.objects.update(finished=True)
    answer = upload(client, exam, csv(
        f"{sample.code},naoh,green ppt,,,", ",naoh,green ppt,,,", "AAAAAA,naoh,x,,,", "CDFHJ4,naoh,x,,,",
        f"{sample.code},no-such,x,,,", f"{sample.code},flaem,x,,,", f"{sample.code},naoh,twice,,,",
        f"{sample.code},group-1,{'w' * 5001},,,", f"{marked.code},naoh,x,,,", f"{marked.code},flame,x,,,",
        f"{sample.code},result,words,,,", f"{sample.code},result,,,{'i' * 201},"))
    found = told(answer)

    assert answer.status_code == 422
    assert [line for line, _column, _what in found] == [3, 4, 5, 6, 7, 8, 9, 10, 12, 13]
    columns = {line: column for line, column, _what in found}
    assert (columns[3], columns[6], columns[9], columns[13]) == ("Sample code", "Test", "Observation", "Cation")
    said = " ".join(what for _line, _column, what in found)
    for words in ("code is missing", "never hold", "“no-such”", "Is it “flame”", "stands in line 2 already",
                  "5001 characters", "is marked", "columns Cation and Anion", "at most 200"):
        assert words in said, words
    assert not RecordLine.objects.filter(record__sample=sample).exists()


def test_a_code_of_another_exam_is_not_known(client, exam, cast):
    other = exams.sat_exam(cast.centre, name="Other")
    (_line, _column, what), = told(upload(client, exam, csv(f"{sample_of(other, '0071').code},naoh,x,,,")))

    assert "no sample of this exam" in what


@pytest.mark.parametrize(("data", "name", "words"), [
    (b"", "x.csv", "empty"),
    (b"Sample code,Test\n", "x.csv", "Nothing is written"),
    (b"Test,Observation\nnaoh,x\n", "x.csv", "headings are missing: Sample code"),
    (b"Sample code,Test,Colour\nCDFHJ4,naoh,x\n", "x.csv", "this heading is not known"),
    (b"Sample code,Test,Test\nCDFHJ4,naoh,x\n", "x.csv", "two columns"),
    (b"Sample code,Test\nCDFHJ4,naoh,x,y,z\n", "x.csv", "more cells than headings"),
    (b'Sample code,Test\n"CDFHJ4,naoh\n', "x.csv", "quote is not closed"),
    (b"Sample code,Test\n\xe9,naoh\n", "x.csv", "UTF-8"),
    (b"PK\x03\x04 no workbook", "x.xlsx", "not an .xlsx workbook"),
    (b"- sample: [\n", "x.yaml", "not YAML"),
    (b"\xff\xfe", "x.yaml", "not UTF-8"),
    (b"- &a {sample: x}\n- *a\n", "x.yaml", "not used in records"),
    (b"- sample: CDFHJ4\n  lines: {naoh: x}\n", "x.yaml", "must be a list"),
    (b"- sample: CDFHJ4\n  salt: x\n", "x.yaml", "the key 'salt' is not known"),
    (b"- sample: CDFHJ4\n  sample: CDFHJ4\n", "x.yaml", "written twice"),
    (b"- lines: []\n", "x.yaml", "no 'sample'"),
    (b"- sample: CDFHJ4\n  lines:\n  - observation: x\n", "x.yaml", "no 'test'"),
    (b"- sample: CDFHJ4\n  lines:\n  - {test: naoh, observation: [x]}\n", "x.yaml", "must be text"),
    (b"- sample: CDFHJ4\n  lines:\n  - x\n", "x.yaml", "a mapping is needed"),
    (b"- x\n", "x.yaml", "a mapping is needed"),
    (b"# nothing\n", "x.yaml", "empty"),
    (b"[" * 5000, "x.yaml", "nested too deeply"),
    (b"[" * 2_000_000, "x.yaml", "nested too deeply"),
    (b"{a: " * 5000, "x.yaml", "nested too deeply"),
    (b"- " * 5000, "x.yaml", "nested too deeply"),
    (b"- a: b\n" * 100_000, "x.yaml", "More than 5000 rows"),
    (b"- sample: x\n  lines:\n  - {test: &a naoh}\n", "x.yaml", "not used in records"),
    (b"- {<<: {sample: x}}\n", "x.yaml", "the key '<<' is not known"),
    (b"- x\n--- \n- y\n", "x.yaml", "not YAML"),
    (b"!!python/object/apply:os.system ['true']\n", "x.yaml", "a mapping is needed"),
    (rb'- sample: "\UFFFFFFFF"', "x.yaml", "a character that does not exist"),
    (rb'- sample: "\U00110000"', "x.yaml", "a character that does not exist"),
    (rb'[{"sample": "\ud800", "\udfff": 1}]', "x.json", "is not known"),
])
def test_a_file_that_holds_no_records_says_why(data, name, words, client, exam):
    answer = upload(client, exam, data, name)

    assert words in " ".join(what for _line, _column, what in told(answer)) or answer.context["form"].errors
    assert not Record.objects.exists()


@pytest.mark.parametrize(("written", "read"), [(r"\ud83d\ude00 yes", "\U0001f600 yes"), (r"\ud800 x", "\ufffd x")])
def test_characters_that_json_writes_in_halves_are_made_whole(written, read, client, exam, sample):
    data = f'[{{"sample": "{sample.code}", "lines": [{{"test": "naoh", "observation": "{written}"}}]}}]'
    imported(client, exam, data.encode(), "x.json")

    assert RecordLine.objects.get().observation == read


def test_one_text_of_megabytes_in_thousands_of_cells_is_refused_soon(exam):
    huge = Cell("x y " * 10**6, 2, "Test")

    problems = compare(exam, [Entry(Cell("-" * 10**7, 2), huge, Cell("x", 2), Cell("", 2))] * 500).problems

    assert len(problems) == 1000


def test_problems_in_yaml_have_their_line_and_key(client, exam, sample):
    data = f"- sample: {sample.code}\n  lines:\n  - test: naoh\n    observation: ok\n  - test: nope\n    observation: x\n"
    (problem,) = told(upload(client, exam, data.encode(), "x.yaml"))

    assert problem[:2] == (5, "test")


def test_of_a_file_that_is_none_of_records_the_first_problems_are_shown_and_the_others_counted(client, exam):
    answer = upload(client, exam, b"- a: b\n" * 500, "x.yaml")

    assert len(told(answer)) == 200
    assert "1000 problems" in answer.content.decode()
    assert "And 800 more" in answer.content.decode()


def test_too_many_rows_are_refused(client, exam, sample):
    rows = [f"{sample.code},naoh,x,,,"] * 5001

    assert "5000 rows" in told(upload(client, exam, csv(*rows)))[0][2]


def test_a_formula_is_kept_as_text_and_pointed_out(client, exam, sample):
    page = upload(client, exam, xlsx([sample.code, "naoh", "=1+1", "", "", ""]), "x.xlsx")

    assert page.context["difference"].changes[0].then[0] == "=1+1"
    assert "formula" in page.content.decode()


@pytest.mark.parametrize("state", [State.DRAFT, State.PREPARED, State.MARKED, State.RELEASED])
def test_records_are_imported_while_the_exam_is_marked_only(state, client, exam, sample):
    exam.state = state
    exam.save()

    assert "Records can be imported" in told(upload(client, exam, csv(f"{sample.code},naoh,x,,,")))[0][2]


def test_a_file_is_never_put_over_marks(client, exam, sample, examiner):
    from grading.marking.awarding import awards_accept_sure
    from grading.marking.parts import stored

    enter(sample, examiner)
    awards_accept_sure(sample=sample, digest=stored(Record.objects.get().paper).digest, who=examiner)

    assert "marking has begun" in told(upload(client, exam, csv(f"{sample.code},naoh,x,,,")))[0][2]


# between reading and confirming

def entries(sample, words="green ppt"):
    return read_file(csv(f"{sample.code},naoh,{words},,,", f"{sample.code},flame,none,,,")).entries


def test_records_that_changed_since_they_were_shown_are_not_overwritten(exam, sample, examiner):
    seen = compare(exam, entries(sample)).digest
    enter_line(sample, examiner, "naoh", "typed meanwhile")

    with pytest.raises(ChangedMeanwhile, match="Choose it again"):
        records_import(exam=exam, entries=entries(sample), seen=seen, name="x.csv", who=examiner)
    assert RecordLine.objects.get().observation == "typed meanwhile"


def test_a_record_that_was_finished_since_is_refused_and_nothing_else_is_saved(exam, sample, examiner):
    other = sample_of(exam, "0072")
    both = entries(sample) + entries(other)
    seen = compare(exam, both).digest
    enter_line(other, examiner, "group-1", "none")
    Record.objects.update(finished=True)

    with pytest.raises(FileRefused, match="is marked"):
        records_import(exam=exam, entries=both, seen=seen, name="x.csv", who=examiner)
    assert not RecordLine.objects.filter(record__sample=sample).exists()


@pytest.mark.parametrize("kept", ["", "x", "eyJ:forged:signature"])
def test_a_preview_that_was_changed_imports_nothing(kept, client, exam):
    answer = client.post(reverse("records:confirm", args=[exam.pk]), {"kept": kept}, follow=True)

    assert "too old or was changed" in answer.content.decode()


def test_a_preview_of_another_exam_imports_nothing(client, exam, sample, cast):
    other = exams.sat_exam(cast.centre, name="Other")
    page = upload(client, exam, csv(f"{sample.code},naoh,x,,,"))
    answer = client.post(reverse("records:confirm", args=[other.pk]), {"kept": page.context["kept"]}, follow=True)

    assert "too old or was changed" in answer.content.decode()


def test_confirming_twice_says_that_it_is_done(client, exam, sample):
    page = upload(client, exam, csv(f"{sample.code},naoh,x,,,"))
    for _time in range(2):
        answer = client.post(reverse("records:confirm", args=[exam.pk]), {"kept": page.context["kept"]}, follow=True)

    assert "changed since the file was read" in answer.content.decode()
    assert RecordLine.objects.get().version == 1


def test_a_file_that_says_what_stands_already_changes_nothing(client, exam, sample):
    imported(client, exam, csv(f"{sample.code},naoh,x,,,"))
    page = upload(client, exam, csv(f"{sample.code},naoh,x,,,"))

    assert "stands in the records already" in page.content.decode()


def test_a_form_without_a_file_asks_for_one(client, exam):
    assert "file" in client.post(reverse("records:import", args=[exam.pk]), {}).context["form"].errors


@given(data=st.binary(max_size=400), name=st.sampled_from(["x.csv", "x.xlsx", "x.yaml", "x.json", "x"]))
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_whatever_a_file_holds_reading_it_never_raises(data, name):
    reading = read_file(data, name)

    assert reading.problems or isinstance(reading.entries, tuple)


@given(text=st.text(max_size=200))
@settings(max_examples=200, deadline=None)
def test_whatever_yaml_says_reading_it_never_raises(text):
    read_file(f"- sample: {text}\n  lines: [{{test: {text}}}]\n".encode("utf-8", "surrogatepass"), "x.yaml")


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_a_file_is_imported_in_the_browser(exam, sample, examiner, open_page, no_barriers, look, width, tmp_path):
    page = open_page(examiner, color_scheme=look, viewport={"width": width, "height": 800})
    page.goto(reverse("records:import", args=[exam.pk]))
    for name, data in (("bad.csv", csv("AAAAAA,naoh,x,,,")), ("good.csv", csv(f"{sample.code},naoh,green ppt,,,"))):
        (tmp_path / name).write_bytes(data)
        page.set_input_files("[name=file]", tmp_path / name)
        page.get_by_role("button", name="Read the file").click()
        page.get_by_text("cannot be imported yet" if name == "bad.csv" else "Nothing is saved yet.").first.wait_for()
        no_barriers(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("button", name="Import 1 line").click()
    page.get_by_text("Imported. Lines: 1; records: 1.").wait_for()
