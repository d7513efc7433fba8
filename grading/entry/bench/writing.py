"""What a candidate writes at the bench: the words as they came, every earlier version in the trail."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from examkit import audit
from examkit.planning.services.guard import locked
from grading.entry.bench.selectors import why_closed
from grading.entry.bench.services import name_of
from grading.errors import GradingError, NotPossible
from grading.marking.writing import line_words, replaced, result_words, suggested
from grading.models import BenchCode, Record, RecordLine, Way


class Closed(GradingError):
    """The bench page is closed for this candidate; the message says why."""


@transaction.atomic
def bench_line_save(*, code, test, observation, inference, version, chosen=()):
    """Keep what a candidate wrote for one test; ChangedMeanwhile where it was written elsewhere since."""
    code, record = _open(code)
    line, _new = RecordLine.objects.get_or_create(record=record, test=test, defaults={"version": 0})
    new = line_words(line, observation, inference, chosen)
    _keep(code, record, line, new, version, test)
    return line


@transaction.atomic
def bench_result_save(*, code, cation, anion, version):
    """Keep the cation and the anion that a candidate found."""
    code, record = _open(code)
    _keep(code, record, record, result_words(cation, anion), version, "result")
    return record


@transaction.atomic
def bench_hand_in(*, code):
    """A candidate is done: the page closes for them, and what was written can be marked."""
    code, record = _open(code)
    suggested(record, None)
    code.ended_at, code.handed_in = timezone.now(), True
    code.save(update_fields=["ended_at", "handed_in"])
    audit.record(centre=code.sample.exam.centre, who=name_of(code), what="record handed in",
                 about=f"{code.sample.code} · {code.sample.exam.name}")
    return record


def _open(code):
    """The code and its record, both held; Closed where nothing can be written any more.

    The exam is held first, as the day holds it, so that no save lands after the sittings are over.
    """
    locked(code.sample.exam)
    held = BenchCode.objects.select_for_update(of=("self",)).select_related("sample__exam__centre")
    held = held.get(pk=code.pk)
    closed = why_closed(held)
    if closed:
        raise Closed(closed)
    Record.objects.get_or_create(sample=held.sample, defaults={"version": 0, "way": Way.BENCH})
    record = Record.objects.select_for_update(of=("self",)).get(sample=held.sample)
    if record.finished:
        raise NotPossible(_("This record is marked already."))
    return held, record


def _keep(code, record, row, new, version, where):
    sample = code.sample
    about = {"where": f"{sample.code}, {where}", "exam": sample.exam}
    if replaced(row, new, version=version, who=name_of(code), **about):
        record.way, record.entered_at = Way.BENCH, timezone.now()
        record.paper = {}  # suggestions are made when the page is closed
        record.save(update_fields=["way", "entered_at", "paper"])
