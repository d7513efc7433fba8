"""A whole record: all lines of one paper and its result, in the JSON that `mark` prints."""

from dataclasses import dataclass, field

from grading.scoring.judge import FULL, NIL, Award, judge, outcome
from grading.scoring.lines import LineScore, score_line, unknown_line
from grading.scoring.results import judge_results, named_ions, record_says


@dataclass(frozen=True)
class ResultScore:
    """The award for one ion of the result, in steps; `name` tells several of one kind apart ("cation-2")."""

    kind: str
    award: Award
    steps: int
    out_of: int
    name: str = ""
    named: tuple[str, ...] = ()  # the ions of this kind that were named

    @property
    def key(self):
        """The name under which the award is kept."""
        return self.name or self.kind

    def as_json(self):
        """The award as the JSON of `mark` has it."""
        return {"fraction": self.award.fraction, "reason": self.award.reason, "sure": self.award.sure}


@dataclass(frozen=True)
class Paper:
    """The suggested marks of one record: lines as written, then those left out; in smallest steps."""

    lines: tuple[LineScore, ...]
    results: tuple[ResultScore, ...]
    mark_scheme: str
    most: dict = field(default_factory=dict, hash=False)  # stage -> most steps, as the mark scheme caps it

    @property
    def steps(self):
        """Marks in smallest steps: the sum of all awards."""
        return sum(sum(line.steps) for line in self.lines) + sum(result.steps for result in self.results)

    @property
    def out_of(self):
        """Marks that could be had, in smallest steps; no stage gives more than its cap."""
        stages = {}
        for line in self.lines:
            stages[line.stage] = stages.get(line.stage, 0) + sum(line.out_of)
        lines = sum(min(steps, self.most.get(stage, steps)) for stage, steps in stages.items())
        return lines + sum(result.out_of for result in self.results)

    @property
    def for_the_examiner(self):
        """Where a person must look, and why."""
        lines = [
            {"line": index, "test": line.test, "why": "; ".join(line.why)}
            for index, line in enumerate(self.lines)
            if line.why
        ]
        results = [
            {"line": None, "test": f"result.{result.key}", "why": "; ".join(result.award.why)}
            for result in self.results
            if result.award.why
        ]
        return lines + results

    def as_json(self):
        """The document that `manage.py mark --json` prints."""
        return {
            "lines": [line.as_json() for line in self.lines],
            "result": {result.key: result.as_json() for result in self.results},
            "marks": self.steps,
            "out_of": self.out_of,
            "for_the_examiner": self.for_the_examiner,
        }


def score_paper(kb, mark_scheme, expected_json, lines, result):
    """The suggested marks of a record.

    `mark_scheme` is the name of a mark scheme, `expected_json` the frozen record, `lines` dicts with test,
    observation and inference as written and, where outcomes were chosen from lists, those as stored under
    `chosen`; `result` is a dict with cation and anion as written.
    """
    bench = judge(kb, expected_json["scheme"], mark_scheme)
    present = (*expected_json["cations"], *expected_json["anions"])
    scores = tuple(capped(bench.marking, _lines(bench, expected_json, present, lines)))
    written = {kind: _text((result or {}).get(kind)) for kind in ("cation", "anion")}
    record = record_says(bench, scores)
    results = [
        score
        for kind in written
        for score in _results(bench, kind, written, expected_json[f"{kind}s"], record)
    ]
    if bench.marking.safety:
        results.append(_safety(bench.marking.safety))
    return Paper(scores, tuple(results), bench.marking.key, dict(bench.marking.caps))


def capped(marking, scores):
    """The lines with no stage above its cap: what goes beyond is taken from the lines that come last."""
    left = dict(marking.caps)
    for score in scores:
        if score.stage not in left:
            yield score
            continue
        kept = min(score.steps[0], left[score.stage]), 0
        kept = kept[0], min(score.steps[1], left[score.stage] - kept[0])
        left[score.stage] -= sum(kept)
        yield score if kept == score.steps else score.cut_to(kept)


def _safety(steps):
    """Marks for safe working: only a person in the room can give them."""
    reason = "Nothing in a record shows how safely the candidate worked."
    return ResultScore("safety", Award(FULL, reason, "", ("who was in the room knows",)), steps, steps)


def _lines(bench, expected_json, present, lines):
    """Scores of the lines as written, then of the tests that were to be done and have no line."""
    expected = {line["test"]: line for line in expected_json["lines"]}
    elsewhere = tuple(
        dict.fromkeys(
            outcome(item) for line in expected_json["lines"] if line["done"] for item in line["seen"]
        )
    )
    written, errors = set(), Errors(bench.marking)
    for line in lines or ():
        test, texts = line["test"], (_text(line.get("observation")), _text(line.get("inference")))
        if test not in expected or test in written:
            yield unknown_line(test, *texts)
            continue
        written.add(test)
        chosen = line.get("chosen") or ()
        score = score_line(bench, expected[test], present, *texts, errors.carry, elsewhere, chosen)
        yield errors.once(score)
    for test, line in expected.items():
        if test not in written and line["done"]:
            yield score_line(bench, line, present, "", "")


@dataclass
class Errors:
    """Errors met so far in a record: whether one more is carried, and which wrong ions have cost already."""

    marking: object
    carried: int = 0
    wrong: set = field(default_factory=set)

    @property
    def carry(self):
        """Whether the next error may be carried forward."""
        return self.marking.inference["carried"] != "once" or not self.carried

    def once(self, score):
        """The line; where the scheme penalises an error once, without the cost of a repeated one."""
        self.carried += score.inference.carried
        if self.marking.inference["repeated_error"] != "once" or score.inference.share or not score.wrong:
            return score
        if score.wrong <= self.wrong:
            return score.forgiven(self.marking)
        self.wrong |= score.wrong
        return score


def _text(value):
    """What was written, as text: a number or nothing in a file is not an error of the candidate."""
    return "" if value is None else str(value)


def _results(bench, kind, written, present, record):
    """An award for each ion of a kind: the steps of the kind are shared out, the first ions get the rest."""
    out_of = bench.marking.result[kind]
    if not present:
        yield ResultScore(kind, Award(NIL, f"The specimen has no {kind} to name."), 0, 0)
        return
    awards = judge_results(bench, kind, written, tuple(present), record)
    named = named_ions(bench, kind, written)
    for number, award in enumerate(awards, 1):
        mine = out_of // len(present) + (number <= out_of % len(present))
        name = kind if len(present) == 1 else f"{kind}-{number}"
        yield ResultScore(kind, award, bench.marking.steps(award.share, mine), mine, name, named)
