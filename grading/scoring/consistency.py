"""What does not go together in a record: matters for the examiner to look at, never an accusation."""

from dataclasses import asdict, dataclass

from grading.reading.observation import read_observation
from grading.scoring.judge import FULL, judge
from grading.scoring.observed import judge_observation

CONTRADICTION, RESULT, NEIGHBOUR, INFERENCE = "lines", "result", "another specimen", "inference"
MORE_LINES = 3  # so many lines fit another specimen that do not fit the own one, before it is worth a look
LEAST_LINES = 6  # shorter records say too little


@dataclass(frozen=True)
class Matter:
    """One thing to look at: what it is, in words, and the tests that it rests on."""

    kind: str
    text: str
    tests: tuple[str, ...]
    specimen: str = ""  # the code of the other specimen that a record fits better

    def as_json(self):
        """The matter as plain data."""
        return asdict(self) | {"tests": list(self.tests)}


def consistency(kb, paper, expected_json, lines, others=None):
    """The matters of one record, as plain data; empty where all goes together.

    `paper` is the scored record, `expected_json` its frozen record, `lines` what was written, `others` the
    frozen records of the other specimens of the sitting by code.
    """
    bench = judge(kb, expected_json["scheme"], paper.mark_scheme)
    present = frozenset((*expected_json["cations"], *expected_json["anions"]))
    found = [
        *_lines_against_each_other(kb, paper, present),
        *_result_against_record(bench, paper, present),
        *_fits_another(bench, expected_json, lines, others or {}),
    ]
    return [matter.as_json() for matter in found]


def _telling(paper):
    """The lines whose words were read for sure and say something of ions."""
    return [line for line in paper.lines if line.own.sure and line.own.says]


def _ruled_out(line, present):
    """The ions that a line rules out; what is right for the specimen never rules out its own ions."""
    right = line.observation.share == FULL
    return line.own.rules_out - present if right else line.own.rules_out


def _lines_against_each_other(kb, paper, present):
    """All ions that a line points to are ruled out by another: one that is left explains what was seen."""
    telling = _telling(paper)
    for line in telling:
        points = line.own.points_to
        others = [other for other in telling if other is not line]
        against = [other.test for other in others if points <= _ruled_out(other, present)]
        if points and against:
            ions = ", ".join(sorted(points))
            text = (
                f"“{_title(kb, line.test)}” points to {ions}, which is ruled out by what is written at: "
                f"{_titles(kb, against)}."
            )
            yield Matter(CONTRADICTION, text, (line.test, *against))


def _title(kb, test):
    return kb.tests[test].title if test in kb.tests else test


def _titles(kb, tests):
    return ", ".join(f"“{_title(kb, test)}”" for test in tests)


def _result_against_record(bench, paper, present):
    """A named ion that lines of the own record rule out, and none points to."""
    for ion in _named_in(paper):
        against = [line.test for line in _telling(paper) if ion in _ruled_out(line, present)]
        support = [line.test for line in _telling(paper) if ion in line.own.points_to]
        if against and len(against) > len(support):
            text = f"{ion} is named, but what is written rules it out at: {_titles(bench.kb, against)}."
            yield Matter(RESULT, text, tuple(against))


def _named_in(paper):
    return dict.fromkeys(ion for score in paper.results for ion in score.named)


def _fits_another(bench, expected_json, lines, others):
    """The other specimen that clearly more of the observations fit than the own one, if there is one."""
    read = [
        (row["test"], read_observation(bench.words, str(row.get("observation") or ""))) for row in lines or ()
    ]
    read = [(test, reading) for test, reading in read if reading.findings]
    own = _fitting(bench, expected_json, read)
    best, code = (), None
    for name in sorted(others):
        fitting = _fitting(bench, others[name], read)
        if len(fitting) > len(best):
            best, code = fitting, name
    news = [test for test in best if test not in own]
    if len(read) >= LEAST_LINES and code is not None and len(best) - len(own) >= MORE_LINES:
        text = (
            f"{len(best)} of {len(read)} observations fit another specimen of this sitting ({code}), "
            f"{len(own)} the one that was given out: was a sample mixed up? "
            f"They differ at: {_titles(bench.kb, news)}."
        )
        yield Matter(NEIGHBOUR, text, tuple(news), code)


def _fitting(bench, expected_json, read):
    """The tests whose observation is wholly right for a specimen."""
    expected = {line["test"]: line for line in expected_json["lines"] if line["done"]}
    present = (*expected_json["cations"], *expected_json["anions"])
    return [
        test
        for test, reading in read
        if test in expected and judge_observation(bench, expected[test], reading, (), present).share == 1
    ]
