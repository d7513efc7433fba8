"""Who may write at the bench, how far they are; what a candidate's page shows: no salt, no name."""

from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Count, F, Prefetch, Q
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.access import BENCH_KEY
from examkit.day.selectors import room_map
from examkit.knowledge import knowledge
from examkit.models import State
from grading.entry.rows import lines_of
from grading.models import BenchCode, BenchRules, Record


def open_codes(exam):
    """The codes that let somebody in, or have, and whose time is not over."""
    return BenchCode.objects.filter(sample__exam=exam, ended_at=None, until__gt=timezone.now())


def code_of(request):
    """The code that a candidate came with, ended or not; None where the browser knows none."""
    found = BenchCode.objects.select_related("sample__exam__centre", "sample__sitting").defer("sample__salt")
    return found.filter(pk=request.session.get(BENCH_KEY), used_at__isnull=False).first()


def why_closed(code, now=None):
    """Why nothing can be written with a code (or None) now, in words; empty while it is open."""
    if code is None:
        return _("This browser knows no code any more.")
    if code.handed_in:
        return _("Your record is handed in.")
    if code.sample.exam.state != State.PREPARED:
        return _("The sittings of this exam are over.")
    if code.ended_at:
        return _("The invigilator has closed this page, or has given out a new code for your sample.")
    if code.until <= (now or timezone.now()):
        return _("The time is over.")
    return ""


def end_now(sitting):
    """The end that the open codes of a sitting have, before extra time and minutes given back; else None.

    Known from those without extra time: the earliest, as one of them may have been let in for longer.
    """
    codes = BenchCode.objects.filter(sample__sitting=sitting, ended_at=None)
    until = dict(codes.values_list("sample__code", "until"))
    ends = [until[place.code] - timedelta(minutes=place.minutes) for place in room_map(sitting).places
            if place.code in until and not place.extra_percent]
    return min(ends, default=None)


def until_told(code):
    """The end as pages tell it, by the school's clock; with the day where that is another."""
    until = timezone.localtime(code.until)
    return date_format(until, "H:i" if until.date() == timezone.localdate() else "j F, H:i")


def choices_allowed(exam):
    """Whether outcomes may be chosen from lists at the bench."""
    return BenchRules.objects.filter(exam=exam, choices=True).exists()


def record_at(sample):
    """The record of a sample with its lines, or None."""
    return Record.objects.filter(sample=sample).prefetch_related("lines").first()


def bench_lines(sample):
    """The lines of the record that belongs to a sample: every test of the scheme, whatever the salt."""
    exam = sample.exam
    return lines_of(knowledge(exam.centre), exam.scheme, record_at(sample), choices=choices_allowed(exam))


@dataclass(frozen=True)
class Place:
    """One candidate of a sitting, as the invigilator sees them: by bench and sample code."""

    bench: str
    code: str
    state: str
    until: str
    lines: int
    saved_at: object
    extra: int


def places(sitting):
    """The samples of a sitting in the order of the benches, with how far each is."""
    written = Count("record__lines", filter=~Q(record__lines__observation="", record__lines__inference=""))
    rows = sitting.samples.select_related("bench", "candidate").defer("salt").annotate(
        written=written, saved_at=F("record__entered_at"))
    codes = BenchCode.objects.order_by("-pk")
    rows = rows.order_by("bench__row", "bench__column")
    rows = rows.prefetch_related(Prefetch("bench_codes", queryset=codes))
    return [_place(row, next(iter(row.bench_codes.all()), None)) for row in rows]


def _place(row, code):
    until = until_told(code) if code and not code.ended_at else ""
    return Place(row.bench.label, row.code, _state(code), until, row.written,
                 row.saved_at if row.written else None, row.candidate.extra_time_percent)


def _state(code):
    if code is None:
        return _("no code yet")
    if code.handed_in:
        return _("handed in")
    if code.ended_at:
        return _("closed")
    if code.until <= timezone.now():
        return _("time over")
    return _("writing") if code.used_at else _("has a code, not begun")


def missing_before_sat(exam):
    """What must be done at the benches before the exam is sat: pages that are open are closed first."""
    sittings = dict(open_codes(exam).values_list("sample__sitting__name").annotate(n=Count("pk")).order_by())
    return [ngettext("The bench page is open for %(n)d candidate of the sitting “%(name)s”. Close it.",
                     "The bench page is open for %(n)d candidates of the sitting “%(name)s”. Close it.", n)
            % {"n": n, "name": name} for name, n in sorted(sittings.items())]
