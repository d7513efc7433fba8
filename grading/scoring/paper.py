"""A whole record: all lines of one paper and its result, in the JSON that `mark` prints."""

from dataclasses import dataclass

from grading.scoring.judge import NIL, Award, judge, outcome
from grading.scoring.lines import LineScore, score_line, unknown_line
from grading.scoring.results import judge_result, record_says


@dataclass(frozen=True)
class ResultScore:
    """The award for one kind of ion, in steps."""

    kind: str
    award: Award
    steps: int
    out_of: int

    def as_json(self):
        """The award as the JSON of `mark` has it."""
        return {"fraction": self.award.fraction, "reason": self.award.reason}


@dataclass(frozen=True)
class Paper:
    """The suggested marks of one record: lines as written, then those left out; in smallest steps."""

    lines: tuple[LineScore, ...]
    results: tuple[ResultScore, ...]
    mark_scheme: str

    @property
    def steps(self):
        """Marks in smallest steps."""
        return sum(sum(line.steps) for line in self.lines) + sum(result.steps for result in self.results)

    @property
    def out_of(self):
        """Marks that could be had, in smallest steps."""
        return sum(sum(line.out_of) for line in self.lines) + sum(result.out_of for result in self.results)

    @property
    def for_the_examiner(self):
        """Where a person must look, and why."""
        lines = [
            {"line": index, "test": line.test, "why": "; ".join(line.why)}
            for index, line in enumerate(self.lines)
            if line.why
        ]
        results = [
            {"line": None, "test": f"result.{result.kind}", "why": "; ".join(result.award.why)}
            for result in self.results
            if result.award.why
        ]
        return lines + results

    def as_json(self):
        """The document that `manage.py mark --json` prints."""
        return {
            "lines": [line.as_json() for line in self.lines],
            "result": {result.kind: result.as_json() for result in self.results},
            "marks": self.steps,
            "out_of": self.out_of,
            "for_the_examiner": self.for_the_examiner,
        }


def score_paper(kb, mark_scheme, expected_json, lines, result):
    """The suggested marks of a record.

    `mark_scheme` is the name of a mark scheme, `expected_json` the frozen record, `lines` dicts with test,
    observation and inference as written, `result` a dict with cation and anion as written.
    """
    bench = judge(kb, expected_json["scheme"], mark_scheme)
    present = (*expected_json["cations"], *expected_json["anions"])
    scores = tuple(_lines(bench, expected_json, present, lines))
    written = {kind: _text((result or {}).get(kind)) for kind in ("cation", "anion")}
    record = record_says(scores)
    results = tuple(_result(bench, kind, written, expected_json[f"{kind}s"], record) for kind in written)
    return Paper(scores, results, bench.marking.key)


def _lines(bench, expected_json, present, lines):
    """Scores of the lines as written, then of the tests that were to be done and have no line."""
    expected = {line["test"]: line for line in expected_json["lines"]}
    elsewhere = tuple(
        dict.fromkeys(
            outcome(item) for line in expected_json["lines"] if line["done"] for item in line["seen"]
        )
    )
    written = set()
    for line in lines or ():
        test, texts = line["test"], (_text(line.get("observation")), _text(line.get("inference")))
        if test not in expected or test in written:
            yield unknown_line(test, *texts)
            continue
        written.add(test)
        yield score_line(bench, expected[test], present, *texts, elsewhere=elsewhere)
    for test, line in expected.items():
        if test not in written and line["done"]:
            yield score_line(bench, line, present, "", "")


def _text(value):
    """What was written, as text: a number or nothing in a file is not an error of the candidate."""
    return "" if value is None else str(value)


def _result(bench, kind, written, present, record):
    out_of = bench.marking.result[kind]
    if not present:
        return ResultScore(kind, Award(NIL, f"The specimen has no {kind} to name."), 0, 0)
    award = judge_result(bench, kind, written, present, record)
    return ResultScore(kind, award, bench.marking.steps(award.share, out_of), out_of)
