"""What a file would change in the records of an exam, and everything in it that cannot be."""

import difflib
import hashlib
import json
from dataclasses import dataclass

from django.utils.translation import gettext as _

from examkit.chemistry.bench import titled
from examkit.errors import ExamkitError
from examkit.knowledge import knowledge
from examkit.models import Sample, State
from examkit.planning.codes import read_code
from grading.entry.files.written import Problem
from grading.marking.forms import WRITTEN_LIMIT
from grading.marking.parts import RESULT
from grading.marking.writing import kept
from grading.models import Record

RESULT_LIMIT = 200
LONGEST_NAME = 300  # no code and no test has more; a workbook can hold one text of megabytes in each cell


@dataclass(frozen=True)
class Change:
    """One line of one record, as it stands now and as the file has it."""

    code: str
    test: str
    title: str
    now: tuple[str, str]
    then: tuple[str, str]

    @property
    def new(self):
        """Whether nothing stands there yet."""
        return not any(self.now)


@dataclass(frozen=True)
class Difference:
    """What a file would do: lines that change, how many stay; or what is wrong with it."""

    changes: tuple[Change, ...] = ()
    same: int = 0
    problems: tuple[Problem, ...] = ()

    @property
    def codes(self):
        """The samples whose record changes, in the order of the file."""
        return tuple(dict.fromkeys(change.code for change in self.changes))

    @property
    def digest(self):
        """Says whether the records still stand as this comparison saw them."""
        said = [[change.code, change.test, change.now] for change in self.changes]
        return hashlib.sha256(json.dumps(said).encode()).hexdigest()


def compare(exam, entries):
    """The Difference that entries of a file make to the records of an exam."""
    if exam.state != State.SAT:
        what = _("Records can be imported from the end of the last sitting until they are handed over. "
                 "This exam is at “%(state)s”.") % {"state": exam.get_state_display()}
        return Difference(problems=(Problem(0, "", what),))
    check = _Check(exam)
    found = [change for entry in entries if (change := check.change(entry))]
    changes = tuple(change for change in found if change.now != change.then)
    if not found and not check.problems:
        check.problems.append(Problem(0, "", _("Nothing is written in this file.")))
    problems = tuple(sorted(check.problems, key=lambda problem: problem.line))
    return Difference(() if problems else changes, len(found) - len(changes), problems)


class _Check:
    """Each entry against samples, tests and records of the exam; every problem is kept."""

    def __init__(self, exam):
        kb = knowledge(exam.centre)
        stages = kb.schemes[exam.scheme].stages
        self.titles = {stage.test: titled(stage, kb.tests[stage.test]) for stage in reversed(stages)}
        self.tests = {RESULT: RESULT} | {key.casefold(): key for key in self.titles}
        self.tests |= {title.casefold(): key for key, title in self.titles.items()}
        self.codes = set(Sample.objects.filter(exam=exam).values_list("code", flat=True))
        records = Record.objects.filter(sample__exam=exam).prefetch_related("lines", "awards")
        self.records = {record.sample.code: record for record in records.select_related("sample")}
        self.problems, self.seen, self.locked = [], {}, set()

    def wrong(self, cell, what):
        """Keep a problem; None, so that a check can return it."""
        self.problems.append(Problem.at(cell, what))

    def change(self, entry):
        """The change that an entry makes, or None where something is wrong with it."""
        code, test = self.code(entry.code), self.test(entry.test)
        fits = self.fits(entry)
        if not code or not test or not fits:
            return None
        if (code, test) in self.seen:
            return self.wrong(entry.test, _("this test of %(code)s stands in line %(line)d already.")
                              % {"code": code, "line": self.seen[code, test]})
        self.seen[code, test] = entry.test.line
        if not self.open(code, entry):
            return None
        strip = str.strip if test == RESULT else str
        then = tuple(strip(kept(cell.text)) for cell in (entry.observation, entry.inference))
        return Change(code, test, self.titles.get(test, ""), self.now(code, test), then)

    def code(self, cell):
        """The sample code, if the exam has it."""
        if not cell.text.strip():
            return self.wrong(cell, _("the sample code is missing."))
        try:
            code = read_code(cell.text[:LONGEST_NAME])
        except ExamkitError as problem:
            return self.wrong(cell, str(problem))
        return code if code in self.codes else self.wrong(
            cell, _("no sample of this exam has the code %(code)s.") % {"code": code})

    def test(self, cell):
        """The key of the test, given by its key or its title."""
        said = " ".join(cell.text[:LONGEST_NAME].split()).casefold()
        if said in self.tests:
            return self.tests[said]
        near = difflib.get_close_matches(said, self.tests, n=1)
        hint = _(" Is it “%(near)s”?") % {"near": near[0]} if near else ""
        told = _("the scheme has no test “%(test)s”.") % {"test": cell.text.strip()[:60]}
        return self.wrong(cell, told + hint)

    def fits(self, entry):
        """Whether the words fit their fields."""
        limit = RESULT_LIMIT if entry.result else WRITTEN_LIMIT
        long = [cell for cell in (entry.observation, entry.inference) if len(cell.text) > limit]
        for cell in long:
            self.wrong(cell, _("%(length)d characters, at most %(limit)d are kept. Shorten it.")
                       % {"length": len(cell.text), "limit": limit})
        return not long

    def open(self, code, entry):
        """Whether the record can still be changed; said once for each record."""
        record = self.records.get(code)
        if record is None or not (record.finished or record.awards.all()):
            return True
        if code not in self.locked:
            self.locked.add(code)
            self.wrong(entry.code, _("the record %(code)s is marked, or marking has begun: it is not "
                                     "changed by a file. Take its lines out, or change it on its page.")
                       % {"code": code})
        return False

    def now(self, code, test):
        """What stands in the record now."""
        record = self.records.get(code)
        if record is None:
            return ("", "")
        if test == RESULT:
            return (record.cation, record.anion)
        line = next((line for line in record.lines.all() if line.test == test), None)
        return (line.observation, line.inference) if line else ("", "")
