"""What must never change a mark, and what must never raise it, over the records that others have written.

The texts are those of tests/papers/fresh/, which the authors of the reading did not write.
"""

import re
from functools import cache
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.scoring.lines import score_line
from grading.scoring.paper import score_paper
from grading.scoring.records import TextLoader
from tests.benchmarks.fuzz import samples, texts
from tests.reading.bench import base, bench, expected, read

FOLDER = Path(__file__).parent.parent / "papers" / "fresh"
FILES = sorted(FOLDER.glob("*.yaml"))[::3]  # a third of them, of every set
ROWS = [yaml.load(file.read_text(encoding="utf-8"), TextLoader) for file in FILES]
LOOKED_AT_AGAIN = (
    "excess",
    "ammonia",
    "dilute HCl",
)  # there "no change" may be told of the second look alone


def written_lines():
    """(expected line, ions present, observation, inference) of every line with an observation."""
    for row in ROWS:
        record = expected(row["specimen"])
        asked = {line["test"]: line for line in record["lines"] if line["done"]}
        present = (*record["cations"], *record["anions"])
        for line in row["lines"]:
            if line["test"] in asked and (line.get("observation") or "").strip():
                yield asked[line["test"]], present, line["observation"], line.get("inference") or ""


LINES = list(written_lines())


@cache
def shares(index, observation=None, inference=None):
    line, present, seen, drawn = LINES[index]
    score = score_line(bench(), line, present, observation or seen, inference or drawn)
    return score.observation.share, score.inference.share


SAME = {
    "words before": lambda text: f"in this test we saw {text}",
    "a word of praise": lambda text: f"clearly {text}",
    "words behind": lambda text: f"{text} as usual",
    "words in brackets": lambda text: f"{text} (seen by all of us)",
    "spaces": lambda text: "  " + text.replace(" ", "   ") + "\t",
    "capitals": lambda text: text.upper(),
    "no capitals": lambda text: text.lower(),
    "a full stop": lambda text: f"{text}.",
    "a long word for a short one": lambda text: re.sub(r"\bppt\b\.?", "precipitate", text),
    "a short word for a long one": lambda text: re.sub(r"\bprecipitate\b", "ppt", text),
    "abbreviations": lambda text: re.sub(r"\bexcess\b", "xs", re.sub(r"\bsolution\b", "soln", text)),
    "spelling of another country": lambda text: text.replace("colour", "color").replace("grey", "gray"),
}


@pytest.mark.parametrize("change", SAME)
def test_what_says_the_same_earns_the_same(change):
    changed = [
        (LINES[index][2], shares(index)[0], shares(index, SAME[change](LINES[index][2]))[0])
        for index in range(len(LINES))
    ]

    assert [row for row in changed if row[1] != row[2]] == []


@pytest.mark.parametrize("change", ["spaces", "words behind", "a full stop"])
def test_what_says_the_same_in_an_inference_earns_the_same(change):
    changed = [
        (LINES[index][3], shares(index)[1], shares(index, None, SAME[change](LINES[index][3]))[1])
        for index in range(len(LINES))
        if LINES[index][3].strip()
    ]

    assert [row for row in changed if row[1] != row[2]] == []


@pytest.mark.parametrize(
    ("test", "subject", "findings"),
    [
        ("dry-heating", "Pb(NO3)2", ["brown gas", "residue brown hot, yellow cold", "crackles"]),
        (
            "borax-bead",
            "NiCl2.6H2O",
            ["oxidising flame: violet hot, reddish brown cold", "reducing flame: grey"],
        ),
        ("charcoal-cavity", "Pb(NO3)2", ["grey malleable bead", "yellow incrustation"]),
        (
            "anion-dilute-acid",
            "Na2CO3",
            ["brisk effervescence", "colourless odourless gas", "lime water turns milky"],
        ),
    ],
)
def test_the_order_of_findings_does_not_matter(test, subject, findings):
    record = expected(subject)
    line = next(line for line in record["lines"] if line["test"] == test)
    orders = ["; ".join(findings), "; ".join(reversed(findings)), ". ".join([*findings[1:], findings[0]])]

    given = [
        score_line(bench(), line, tuple(record["cations"]), text, "").observation.share for text in orders
    ]
    assert given == [1] * len(orders)


def may_go_on(line, text):
    """Whether what is put behind a text may be read as what is seen at the next step of its test."""
    steps = {item.get("step") for option in (line, *line.get("also_accepted", ())) for item in option["seen"]}
    return bool(steps.intersection(LOOKED_AT_AGAIN)) and "no " in text


@pytest.mark.parametrize(
    "contradiction", ["; no change", "; violet ppt", ". Blue gas", "; no ppt", "; crimson flame"]
)
def test_a_contradiction_never_raises_a_mark(contradiction):
    raised = [
        text
        for index, (line, _present, text, _inference) in enumerate(LINES)
        if read(text).findings
        and not may_go_on(line, contradiction)
        and shares(index, text + contradiction)[0] > shares(index)[0]
    ]

    assert raised == []


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["what"][:40])
def test_the_marks_of_a_record_are_the_sum_of_its_awards_within_bounds_and_always_the_same(row):
    for key in ("common", "no-halves", "school-groups"):
        first, again = (
            score_paper(base(), key, expected(row["specimen"]), row["lines"], row["result"]) for _ in "12"
        )

        parts = [(s, o) for line in first.lines for s, o in zip(line.steps, line.out_of, strict=True)]
        parts += [(result.steps, result.out_of) for result in first.results]
        assert first.steps == sum(steps for steps, _most in parts) and 0 <= first.steps <= first.out_of
        assert all(0 <= steps <= most for steps, most in parts)
        assert again.as_json() == first.as_json()


def test_random_and_mutated_texts_never_raise_and_no_word_is_lost():
    for number, text in enumerate(texts(samples(FOLDER), seed=7, count=3_000)):
        line, present, _seen, _drawn = LINES[number % len(LINES)]
        score = score_line(bench(), line, present, text, text)

        assert 0 <= score.observation.share <= 1 and 0 <= score.inference.share <= 1
        assert score.reading.text == text
        told = {
            at
            for spans in (score.reading.read, score.reading.filler, score.reading.unread)
            for a, b in spans
            for at in range(a, b)
        }
        assert all(at in told for at, character in enumerate(text[:200]) if character.isalnum())


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200), st.text(max_size=80))
def test_any_text_is_marked(observation, inference):
    line, present, _seen, _drawn = LINES[0]

    assert score_line(bench(), line, present, observation, inference).observation.reason
