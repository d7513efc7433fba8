"""The door of the bench page: codes given out, more time, closing; a candidate's way in and out."""

from dataclasses import dataclass
from datetime import timedelta

from axes.utils import reset
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from examkit import audit
from examkit.day.selectors import room_map
from examkit.models import State
from grading.entry.bench import codes
from grading.entry.bench.selectors import open_codes
from grading.errors import NotPossible
from grading.marking.writing import suggested
from grading.models import BenchCode, BenchRules, Record

MOST_DAYS_AHEAD = 14
WRONG = "bench "  # before a sample code: the name under which wrong tries are counted


@dataclass(frozen=True)
class Slip:
    """What a candidate is given: shown once, never stored."""

    bench: str
    sample: str
    code: str
    until: object


@transaction.atomic
def rules_set(*, exam, choices, who):
    """Say whether outcomes may be chosen at the bench; the same for all, so not once codes are out."""
    rules, _new = BenchRules.objects.select_for_update().get_or_create(exam=exam)
    if rules.choices == choices:
        return rules
    if BenchCode.objects.filter(sample__exam=exam, used_at__isnull=False).exists():
        raise NotPossible(_("Candidates of this exam have begun to write. The rules are the same for all of "
                            "them, so they stay as they are."))
    rules.choices = choices
    rules.save()
    audit.record(centre=exam.centre, who=who, what="rules of the bench page", about=exam.name,
                 detail={"choices": choices})
    return rules


@transaction.atomic
def codes_issue(*, sitting, until, who, samples=None):
    """Give out codes: for the samples named, in place of those they have, or for all that have none.

    `until` is the end for those without extra time to whom nothing was given back. Returns the slips: the
    codes are known here only.
    """
    exam, now = sitting.exam, timezone.now()
    _refuse_state(exam)
    _refuse_time(sitting, until, now)
    rows = sitting.samples.select_related("candidate", "bench").defer("salt")
    rows = rows.order_by("bench__row", "bench__column")
    having = set(open_codes(exam).values_list("sample", flat=True))
    wanted = [row for row in rows if (row.pk not in having if samples is None else row in samples)]
    if not rows:
        raise NotPossible(_("Nobody sits in this sitting, so nobody needs a code."))
    if not wanted:
        raise NotPossible(_("Everybody in this sitting has a code. Give a new one to a single candidate "
                            "below."))
    _end(BenchCode.objects.filter(sample__in=wanted, ended_at=None), now)
    ends = endings(sitting, until, now)
    slips = [_issued(sample, ends[sample.code], who) for sample in wanted]
    audit.record(centre=exam.centre, who=who, what="bench codes given out", about=_about(sitting),
                 detail={"samples": [slip.sample for slip in slips], "until": until})
    return slips


@transaction.atomic
def time_set(*, sitting, until, who):
    """Another end for all who have an open code in the sitting; what is theirs is added, as in `endings`."""
    exam, now = sitting.exam, timezone.now()
    _refuse_state(exam)
    _refuse_time(sitting, until, now)
    found = list(BenchCode.objects.select_for_update(of=("self",)).filter(
        sample__sitting=sitting, ended_at=None).select_related("sample__candidate"))
    if not found:
        raise NotPossible(_("Nobody in this sitting has an open code."))
    ends = endings(sitting, until, now)
    for code in found:
        code.until = ends[code.sample.code]
        code.save(update_fields=["until"])
    audit.record(centre=exam.centre, who=who, what="bench time set", about=_about(sitting),
                 detail={"until": until, "samples": len(found)})
    return found


@transaction.atomic
def time_given_back(*, samples, minutes):
    """Move the end of those samples' open codes by so many minutes (negative where it is taken back).

    The note of the day that asks for it is in the trail.
    """
    for code in BenchCode.objects.select_for_update().filter(sample__in=samples, ended_at=None):
        code.until += timedelta(minutes=minutes)
        code.save(update_fields=["until"])


@transaction.atomic
def sitting_close(*, sitting, who):
    """Close the bench page for a sitting: no code opens it any more, what was written can be marked."""
    now = timezone.now()
    found = BenchCode.objects.filter(sample__sitting=sitting, ended_at=None)
    ended = list(found.values_list("sample__code", flat=True))
    if not ended:
        raise NotPossible(_("The bench page is closed for this sitting already."))
    _end(found, now)
    for record in Record.objects.filter(sample__sitting=sitting, paper={}, finished=False):
        suggested(record, record.entered_by)
    audit.record(centre=sitting.exam.centre, who=who, what="bench page closed", about=_about(sitting),
                 detail={"samples": ended})
    return ended


@transaction.atomic
def code_redeem(*, sample_code, one_time):
    """Let a candidate in: the code's row, used up now. NoSuchCode where it lets nobody in."""
    now = timezone.now()
    held = BenchCode.objects.select_for_update(of=("self",)).select_related("sample__exam__centre")
    rows = held.filter(sample__code=sample_code, ended_at=None, used_at=None, until__gt=now,
                       sample__exam__state=State.PREPARED)
    row = next((row for row in rows if codes.matches(row, one_time)), None)
    if row is None:
        raise codes.NoSuchCode(_("These two codes let nobody in. A one-time code works once, for its own "
                                 "sample and until its sitting ends. Compare both, or ask the invigilator "
                                 "for a new one."))
    row.used_at = now
    row.save(update_fields=["used_at"])
    audit.record(centre=row.sample.exam.centre, who=name_of(row), what="bench page opened",
                 about=f"{row.sample.code} · {row.sample.exam.name}")
    return row


def name_of(code):
    """How the trail names a candidate: by sample code."""
    return f"candidate at the bench, {code.sample.code}"


def counted_as(sample_code):
    """The name under which wrong one-time codes for a sample are counted."""
    return f"{WRONG}{sample_code}"


def endings(sitting, until, now):
    """{sample code: until when its candidate may write}: the end of the sitting, their extra time over its
    length, and the minutes that were given back to them so far."""
    length = max(until - (sitting.starts_at or now), timedelta())
    return {place.code: until + length * place.extra_percent / 100 + timedelta(minutes=place.minutes)
            for place in room_map(sitting).places}


def _issued(sample, until, who):
    code = codes.new_code()
    BenchCode.objects.create(sample=sample, digest=codes.digest(sample, code), issued_by=who, until=until)
    reset(username=counted_as(sample.code))  # a new code, and new tries for it
    return Slip(sample.bench.label, sample.code, codes.spaced_code(code), until)


def _about(sitting):
    return f"{sitting.exam.name}, {sitting.name}"


def _end(rows, now):
    rows.update(ended_at=now)


def _refuse_state(exam):
    if exam.state != State.PREPARED:
        raise NotPossible(_("Codes for the bench are given out when the stock room is signed off and until "
                            "the sittings are over. This exam is at “%(state)s”.")
                          % {"state": exam.get_state_display()})


def _refuse_time(sitting, until, now):
    if until <= now:
        raise NotPossible(_("That end is over already. Give a time that is still to come."))
    if until > max(now, sitting.starts_at or now) + timedelta(days=MOST_DAYS_AHEAD):
        raise NotPossible(_("That end is more than %(days)d days away.") % {"days": MOST_DAYS_AHEAD})
    if sitting.starts_at and until <= sitting.starts_at:
        raise NotPossible(_("That end lies before the sitting begins."))
