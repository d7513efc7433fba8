"""Every sentence of examples/: accepted in full and for sure, in part, or refused (common practice, no source)."""

from pathlib import Path

import pytest
import yaml

from tests.reading.bench import award

FILES = sorted((Path(__file__).parent / "examples").glob("*.examples.yaml"))
ROWS = [row for file in FILES for row in yaml.safe_load(file.read_text(encoding="utf-8"))]


def sentences(kind):
    return [
        pytest.param(
            row["test"],
            row["subject"],
            row.get("facet", ""),
            text,
            id=f"{row['test']}-{row['subject']}-{text}",
        )
        for row in ROWS
        for text in row.get(kind, ())
    ]


@pytest.mark.parametrize(("test", "subject", "facet", "text"), sentences("accept"))
def test_a_right_sentence_earns_all_and_needs_no_person(test, subject, facet, text):
    given = award(test, subject, text, facet)

    assert (given.share, given.why) == (1, ()), given.reason


@pytest.mark.parametrize(("test", "subject", "facet", "text"), sentences("person"))
def test_enough_but_not_all_earns_all_and_goes_to_a_person(test, subject, facet, text):
    given = award(test, subject, text, facet)

    assert given.share == 1 and given.why and given.other, given.reason


@pytest.mark.parametrize(("test", "subject", "facet", "text"), sentences("part"))
def test_a_sentence_that_is_partly_right_earns_a_part(test, subject, facet, text):
    given = award(test, subject, text, facet)

    assert 0 < given.share < 1, given.reason


@pytest.mark.parametrize(("test", "subject", "facet", "text"), sentences("refuse"))
def test_a_wrong_sentence_earns_nothing(test, subject, facet, text):
    given = award(test, subject, text, facet)

    assert given.share == 0, given.reason


def test_there_are_at_least_300_sentences_and_every_entry_has_both_kinds():
    assert sum(len(row.get(kind, ())) for row in ROWS for kind in ("accept", "part", "refuse")) >= 300
    assert [row["test"] for row in ROWS if not row.get("accept") or not row.get("refuse")] == []
