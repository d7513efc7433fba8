"""Check an exam's draw and the audit trail of its centre."""

import sys

from django.core.management.base import CommandError

from examkit import audit
from examkit.management.base import HouseCommand
from examkit.models import Exam, State
from examkit.planning import draw_check


class Command(HouseCommand):
    """Recomputes the draw from what was kept, and follows the chain of the audit trail."""

    help = "Check that an exam's draw can be recomputed and that the audit trail of its centre is unbroken."
    example = 'manage.py verify "Salt practical 2026" --head 3f9a... --json'

    def add_arguments(self, parser):
        """The exam, and a head of the trail that was printed earlier."""
        parser.add_argument("exam", help="its number (as in its address) or its name")
        parser.add_argument("--head", help="hash of the trail's last entry as printed earlier")
        parser.add_argument("--json", action="store_true", help="one JSON document")

    def handle(self, *, exam, head, json, **options):
        """Say what holds and what does not; exit 1 where something does not."""
        exam = find_exam(exam)
        report = {"exam": exam.name, "state": exam.state,
                  "draw": draw_of(exam), "trail": trail_of(exam, head)}
        self.print_json(report) if json else self.print_words(report)
        if report["draw"]["problems"] or report["trail"]["problems"]:
            sys.exit(1)

    def print_words(self, report):
        """The report for a person."""
        trail, draw = report["trail"], report["draw"]
        self.stdout.write(f"{report['exam']} ({report['state']})")
        self.stdout.write(f"Draw: {draw['result']}")
        self.stdout.write(f"Audit trail: {trail['entries']} entries, last hash {trail['head']}")
        for problem in draw["problems"] + trail["problems"]:
            self.stdout.write(self.style.ERROR(f"  {problem}"))
        if not trail["problems"]:
            self.stdout.write("Audit trail: unbroken.")


def find_exam(words):
    """The exam by number or by name; a name that several centres use needs the number."""
    exams = Exam.objects.filter(pk=int(words)) if words.isdecimal() else Exam.objects.filter(name=words)
    found = list(exams[:2])
    if not found:
        near = ", ".join(f"{exam.pk} {exam.name}" for exam in Exam.objects.all()[:5]) or "there are none yet"
        raise CommandError(f"No exam {words!r}. Exams: {near}.")
    if len(found) > 1:
        raise CommandError(f"Several centres have an exam {words!r}. Give its number.")
    return found[0]


def draw_of(exam):
    """What recomputing the draw says."""
    problems = list(draw_check.check(exam))
    return {"result": result_of(exam, problems), "commitment": exam.commitment, "problems": problems}


def result_of(exam, problems):
    """The outcome in a few words."""
    if problems:
        return "does not hold"
    if exam.state != State.DRAFT:
        return "recomputed, the same"
    return "sealed, not drawn yet" if exam.commitment else "not drawn yet"


def trail_of(exam, printed):
    """What following the chain says."""
    head = audit.head(exam.centre)
    problems = audit.verify(exam.centre, printed=printed)
    return {"centre": exam.centre.name, "entries": head.sequence, "head": head.hash, "problems": problems}
