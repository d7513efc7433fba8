"""`mark`: one record or many from a file, marked against what the specimen shows."""

import sys
from pathlib import Path

from django.utils.translation import gettext_lazy as _

from examkit.chemistry.errors import ChemistryError
from examkit.chemistry.expect import expect
from examkit.chemistry.observe import find_scheme, find_test
from examkit.chemistry.specimen import read_specimen
from examkit.errors import ExamkitError
from examkit.knowledge import knowledge
from examkit.management.base import HouseCommand
from grading.errors import GradingError
from grading.scoring.mark_scheme import mark_scheme
from grading.scoring.paper import score_paper
from grading.scoring.records import read_records


class Command(HouseCommand):
    """Suggested marks with their reasons; the examiner awards."""

    help = _("Mark a record (YAML or JSON) against what its specimen shows: suggested marks with reasons.")
    example = "manage.py mark record.yaml --json"
    mistakes = (ExamkitError, ChemistryError, GradingError)
    requires_system_checks = ()  # pages and database are not used

    def add_arguments(self, parser):
        """The file and the schemes."""
        parser.add_argument("record", help=_("file with one record or a list of them; - for standard input"))
        parser.add_argument(
            "--scheme",
            default="semimicro",
            help=_("scheme of analysis where the record names none (default: semimicro)"),
        )
        parser.add_argument(
            "--mark-scheme",
            default="common",
            help=_("mark scheme where the record names none (default: common)"),
        )
        parser.add_argument("--json", action="store_true", help=_("one JSON document on standard output"))

    def handle(self, *args, **options):
        """Read all, mark all, then print: a mistake anywhere prints nothing but itself."""
        name = options["record"]
        records, many = read_records(
            _text(name), _called(name), scheme=options["scheme"], mark_scheme=options["mark_scheme"]
        )
        papers = [_marked(record) for record in records]
        if options["json"]:
            documents = [paper.as_json() for paper in papers]
            self.print_json(documents if many else documents[0])
            return
        for record, paper in zip(records, papers, strict=True):
            self.print_paper(record, paper)

    def print_paper(self, record, paper):
        """A marked record for a person."""
        scheme = mark_scheme(knowledge(), record.mark_scheme)
        self.stdout.write(f"{record.specimen}   ({record.scheme}, {scheme.title})")
        for line in paper.lines:
            for award, steps, out_of in zip(
                (line.observation, line.inference), line.steps, line.out_of, strict=True
            ):
                mark = f"{scheme.marks(steps)}/{scheme.marks(out_of)}" if out_of else "-"
                doubt = "" if award.sure else "   [for the examiner]"
                self.stdout.write(f"  {line.test:<24}{mark:>9}  {award.reason}{doubt}")
        for result in paper.results:
            mark = f"{scheme.marks(result.steps)}/{scheme.marks(result.out_of)}"
            self.stdout.write(f"  {result.key:<24}{mark:>9}  {result.award.reason}")
        self.stdout.write(f"  {'marks':<24}{scheme.marks(paper.steps)}/{scheme.marks(paper.out_of)}")
        for look in paper.for_the_examiner:
            self.stdout.write(f"  ? {look['test']}: {look['why']}")


def _called(name):
    return "standard input" if name == "-" else name


def _text(name):
    """The text of the file, or what stands on standard input."""
    try:
        raw = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as problem:
        raise GradingError(f"{name}: {problem.strerror or problem}.") from problem
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise GradingError(
            f"{_called(name)}: byte {problem.start + 1} is not UTF-8. Save it as UTF-8."
        ) from problem


def _marked(record):
    kb = knowledge()
    scheme = find_scheme(kb, record.scheme)
    for line in record.lines:
        find_test(kb, line["test"])
    expected = expect(kb, read_specimen(kb, record.specimen, scheme.grams), scheme.key).as_json()
    return score_paper(kb, record.mark_scheme, expected, record.lines, record.result)
