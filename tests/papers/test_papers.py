"""Whole records, marked as a teacher would (common practice, no source)."""

from pathlib import Path

import pytest
import yaml

from grading.scoring.paper import score_paper
from tests.reading.bench import base, expected

PAPERS = [
    paper
    for file in sorted(Path(__file__).parent.glob("*.yaml"))
    for paper in yaml.safe_load(file.read_text(encoding="utf-8"))
]
IDS = [paper["what"] for paper in PAPERS]


def marked(paper):
    record = paper["record"]
    return score_paper(
        base(), "common", expected(record["specimen"]), record.get("lines"), record.get("result")
    )


@pytest.mark.parametrize("paper", PAPERS, ids=IDS)
def test_a_paper_gets_the_marks_that_a_teacher_gives(paper):
    document = marked(paper).as_json()
    lines = {line["test"]: line for line in document["lines"]}

    for test, (observation, inference) in paper.get("lines", {}).items():
        assert lines[test]["observation"]["fraction"] == pytest.approx(observation, abs=0.001), lines[test]
        if inference is not None:
            assert lines[test]["inference"]["fraction"] == pytest.approx(inference, abs=0.001), lines[test]
    for kind, share in paper.get("result", {}).items():
        assert document["result"][kind]["fraction"] == pytest.approx(share, abs=0.001), document["result"]


@pytest.mark.parametrize("paper", PAPERS, ids=IDS)
def test_only_errors_that_follow_are_carried_forward(paper):
    lines = marked(paper).as_json()["lines"]

    if "lines" in paper:
        assert [line["test"] for line in lines if line["inference"]["carried"]] == paper.get("carried", [])


@pytest.mark.parametrize(
    "paper", [p for p in PAPERS if "examiner" in p], ids=[p["what"] for p in PAPERS if "examiner" in p]
)
def test_what_is_not_sure_is_shown_to_the_examiner(paper):
    shown = [entry["test"] for entry in marked(paper).for_the_examiner]

    assert set(paper["examiner"]) <= set(shown)


@pytest.mark.parametrize("paper", [p for p in PAPERS if p.get("full")], ids=lambda p: p["what"])
def test_a_perfect_record_gets_full_marks_and_needs_no_person(paper):
    scored = marked(paper)

    lost = [
        (line.test, line.observation, line.inference) for line in scored.lines if line.steps != line.out_of
    ]
    assert lost == []
    assert (scored.steps, scored.for_the_examiner) == (scored.out_of, [])


@pytest.mark.parametrize("paper", [p for p in PAPERS if p.get("nothing")], ids=lambda p: p["what"])
def test_an_empty_record_gets_nothing(paper):
    assert marked(paper).steps == 0


@pytest.mark.parametrize("paper", PAPERS, ids=IDS)
def test_every_award_has_a_reason_and_marks_are_whole_steps(paper):
    scored = marked(paper)

    assert all(line.observation.reason and line.inference.reason for line in scored.lines)
    assert all(
        0 <= got <= most for line in scored.lines for got, most in zip(line.steps, line.out_of, strict=True)
    )
    assert isinstance(scored.steps, int) and 0 <= scored.steps <= scored.out_of


@pytest.mark.parametrize("paper", [p for p in PAPERS if "uncounted" in p], ids=lambda p: p["what"])
def test_tests_that_were_not_asked_for_cost_nothing(paper):
    scored = {line.test: line for line in marked(paper).lines}

    assert {scored[test].out_of for test in paper["uncounted"]} == {(0, 0)}


def test_there_are_a_dozen_papers():
    assert len(PAPERS) >= 12
    assert len(set(IDS)) == len(IDS)


def test_a_line_that_is_left_out_counts_as_blank():
    with_line = score_paper(
        base(), "common", expected("NiCl2.6H2O"), [{"test": "flame", "observation": "", "inference": ""}], {}
    )
    without = score_paper(base(), "common", expected("NiCl2.6H2O"), [], {})

    assert (with_line.steps, with_line.out_of) == (without.steps, without.out_of)


def test_a_second_line_for_the_same_test_is_not_counted_twice():
    line = {"test": "group-3b", "observation": "black ppt", "inference": "Ni2+"}
    once = score_paper(base(), "common", expected("NiCl2.6H2O"), [line], {})
    twice = score_paper(base(), "common", expected("NiCl2.6H2O"), [line, line], {})

    assert (twice.steps, twice.out_of) == (once.steps, once.out_of)
    assert twice.for_the_examiner
