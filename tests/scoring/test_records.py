"""Records from files, and the command that marks them."""

import io
import json

import pytest
from django.core.management import CommandError, call_command

from grading.errors import GradingError
from grading.scoring.records import read_records

RECORD = """
specimen: NiCl2.6H2O
lines:
- {test: borax-bead, observation: "violet bead hot and redish brown cold in OF, grey in RF", inference: "Ni2+ may be present"}
- {test: group-1, observation: no, inference: group I absent}
result: {cation: "Ni2+", anion: chloride}
"""


def records(text):
    return read_records(text, "r.yaml", scheme="semimicro", mark_scheme="common")


def mark(tmp_path, text, *args):
    file = tmp_path / "r.yaml"
    file.write_text(text, encoding="utf-8")
    out = io.StringIO()
    call_command("mark", str(file), *args, stdout=out)
    return out.getvalue()


def test_words_of_a_candidate_stay_words():
    (record,), many = records(RECORD)

    assert not many
    assert record.lines[1]["observation"] == "no"
    assert records("specimen: x\nlines: [{test: a, observation: 1e3, inference: 2026-01-01}]")[0][0].lines[
        0
    ] == {"test": "a", "observation": "1e3", "inference": "2026-01-01"}


def test_json_is_read_too():
    assert records(json.dumps({"specimen": "NiCl2", "lines": []}))[0][0].specimen == "NiCl2"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "no record"),
        ("[]", "no record"),
        ("a: [1", "line 1, column"),
        ("specimen: x\nspecimen: y", "written twice"),
        ("- 3", "record 1: a record is a mapping"),
        ("lines: 3\nspecimen: x", "'lines' must be a list"),
        ("specimen: x\nlines: [{observation: y}]", "line 1 of 'lines' must have a 'test'"),
        ("specimen: x\ncolour: y", "'colour' is not known"),
        ("specimen: x\nlines: [{test: a}, {test: a}]", "stands in an earlier line"),
        ("specimen: x\nlines: [{test: a, observation: [b]}]", "must be text"),
        ("specimen: x\nresult: {metal: y}", "'metal' is not known"),
        ("specimen: !!python/object:os.system x", "neither YAML nor JSON"),
        ("a: &a [1]\n<<: *a", "is not used in records"),
        ("specimen: x\nlines: [{test: a, inference: {b: c}}]", "must be text"),
        ("lines: []", "'specimen' is missing"),
        ("[" * 5000, "r.yaml"),
        ("specimen: \x00", "neither YAML nor JSON"),
    ],
)
def test_a_bad_file_is_told_in_one_sentence(text, told):
    with pytest.raises(GradingError) as problem:
        records(text)

    assert told in str(problem.value)
    assert "\n" not in str(problem.value).strip()


def test_the_json_has_the_agreed_keys(tmp_path):
    document = json.loads(mark(tmp_path, RECORD, "--json"))

    assert list(document) == ["lines", "result", "marks", "out_of", "for_the_examiner"]
    assert document["lines"][0]["test"] == "borax-bead"
    assert set(document["lines"][0]["observation"]) == {"fraction", "reason", "read", "sure", "readings"}
    assert set(document["lines"][0]["inference"]) == {"fraction", "reason", "carried", "sure", "readings"}
    assert (
        document["lines"][0]["observation"]["fraction"] == document["lines"][0]["inference"]["fraction"] == 1
    )
    assert {kind: part["fraction"] for kind, part in document["result"].items()} == {"cation": 1, "anion": 1}
    assert isinstance(document["marks"], int) and 0 < document["marks"] <= document["out_of"]


def test_a_list_comes_out_where_a_list_came_in(tmp_path):
    text = json.dumps([{"specimen": "NiCl2.6H2O"}, {"specimen": "ZnSO4.7H2O"}])

    assert len(json.loads(mark(tmp_path, text, "--json"))) == 2


def test_lines_come_in_the_order_in_which_they_were_written(tmp_path):
    text = "specimen: NiCl2.6H2O\nlines: [{test: naoh, observation: wibble}, {test: flame, observation: nil}]"
    document = json.loads(mark(tmp_path, text, "--json"))

    assert [line["test"] for line in document["lines"][:2]] == ["naoh", "flame"]
    assert document["for_the_examiner"][0]["line"] == 0
    assert "wibble" in document["for_the_examiner"][0]["why"]


def test_the_text_gives_marks_and_reasons(tmp_path):
    text = mark(tmp_path, RECORD)

    assert "“reddish brown (oxidising cold)” is right." in text
    assert "marks" in text


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("specimen: Xq9", "No salt is called 'Xq9'"),
        (RECORD + "mark_scheme: strictest", "No mark scheme is called 'strictest'"),
        (RECORD + "scheme: none-such", "none-such"),
        ("specimen: NiCl2.6H2O\nlines: [{test: none-such}]", "No test is called 'none-such'"),
    ],
)
def test_a_users_mistake_is_one_line(tmp_path, text, told):
    with pytest.raises(CommandError, match=told) as problem:
        mark(tmp_path, text)

    assert "\n" not in str(problem.value)


def test_a_file_that_is_not_there_or_not_text_is_one_line(tmp_path):
    with pytest.raises(CommandError, match="No such file"):
        call_command("mark", str(tmp_path / "none.yaml"))
    (tmp_path / "r.bin").write_bytes(b"specimen: \xff")
    with pytest.raises(CommandError, match="not UTF-8"):
        call_command("mark", str(tmp_path / "r.bin"))


@pytest.mark.parametrize("text", ['lines: ["\\UFFFFFFFF"]', 'lines: ["\\U00110000"]'])
def test_a_character_that_does_not_exist_is_refused_in_words(text):
    with pytest.raises(GradingError, match="a character or a number that does not exist"):
        read_records(text, "odd.yaml", scheme="semimicro", mark_scheme="common")
