"""What is noted on the day, and taken back with a reason; each with its audit entry."""

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.module_loading import import_string
from django.utils.translation import gettext as _

from examkit import audit
from examkit.day.selectors import (
    ALL_OTHERS,
    AT_ONCE_BACK,
    ATTENDANCE,
    noted_at_once,
    place_of,
    spare_left,
)
from examkit.errors import ChangedMeanwhile, Refused
from examkit.knowledge import knowledge
from examkit.models import DayNote, Happening, Sample, Sitting, State
from examkit.planning.services.guard import locked, reasoned
from examkit.undo import to_take_back

MOST_MINUTES = 120
OF_ONE = (Happening.PRESENT, Happening.ABSENT, Happening.SECOND, Happening.COLOUR, Happening.LEFT)


@transaction.atomic
def note(*, sitting, who, kind, sample=None, words="", test="", minutes=None):
    """Note that something happened in a sitting, to one candidate (`sample`) or to all.

    Second samples, incidents, colours and time need words; time needs minutes, a colour its test.
    """
    sitting = _held(sitting)
    kind, words = Happening(kind), words.strip()
    _refuse_state(sitting.exam)
    if kind in OF_ONE and sample is None:
        raise Refused(_("Say for which candidate."))
    CHECKS.get(kind, _in_words)(sitting=sitting, sample=sample, words=words, test=test, minutes=minutes)
    row = DayNote.objects.create(
        sitting=sitting, sample=sample, kind=kind, words=words[:500], by=who,
        test=test if kind == Happening.COLOUR else "", minutes=minutes if kind == Happening.TIME else None)
    if kind == Happening.TIME:
        _move_ends(row, row.minutes)
    _record(row, who, f"day: {kind.value}")
    return row


@transaction.atomic
def rest_present(*, sitting, who):
    """Note that everybody who is not noted yet is there."""
    sitting = _held(sitting)
    _refuse_state(sitting.exam)
    noted = DayNote.objects.filter(sitting=sitting, undone_at=None, kind__in=ATTENDANCE)
    rest = sitting.samples.exclude(pk__in=noted.values("sample")).defer("salt").order_by("code")
    rows = [DayNote(sitting=sitting, sample=sample, kind=Happening.PRESENT, by=who) for sample in rest]
    if not rows:
        raise Refused(_("Everybody in this sitting is noted already."))
    DayNote.objects.bulk_create(rows)
    audit.record(centre=sitting.exam.centre, who=who, what=ALL_OTHERS, about=_about(sitting), detail={
        "exam": sitting.exam_id, "sitting": sitting.pk, "samples": [row.sample.code for row in rows],
        "notes": [row.pk for row in rows]})
    return len(rows)


@transaction.atomic
def rest_present_undo(*, sitting, who, number, why):
    """Take back whole that all others were noted as there, with a reason; the notes are kept."""
    why, sitting = reasoned(why), _held(sitting)
    _refuse_state(sitting.exam)
    entry = to_take_back(sitting.exam.centre, noted_at_once(sitting), back=AT_ONCE_BACK, number=number)
    notes = DayNote.objects.filter(pk__in=entry.detail["notes"], sitting=sitting, undone_at=None)
    taken_back = notes.update(undone_at=timezone.now(), undone_by=who, undone_why=why[:300])
    audit.record(centre=sitting.exam.centre, who=who, what=AT_ONCE_BACK, about=_about(sitting), detail={
        "exam": sitting.exam_id, "gone": number, "notes": taken_back, "why": why})
    return taken_back


@transaction.atomic
def undo(*, note, who, why):
    """Take a note back, with a reason; it is kept."""
    why = reasoned(why)
    locked(note.sitting.exam)
    row = DayNote.objects.select_related("sitting__exam__centre", "sample").get(pk=note.pk)
    _refuse_state(row.sitting.exam)
    if row.undone_at:
        raise ChangedMeanwhile(
            _("This was taken back already: %(why)s") % {"why": row.undone_why}, theirs=row)
    row.undone_at, row.undone_by, row.undone_why = timezone.now(), who, why[:300]
    row.save()
    if row.kind == Happening.TIME:
        _move_ends(row, -row.minutes)
    _record(row, who, "day note undone", why=why)
    return row


def _held(sitting):
    """The sitting, its exam locked: two invigilators never note against each other, in no two rooms."""
    locked(sitting.exam)
    return Sitting.objects.select_related("exam__centre").get(pk=sitting.pk)


def _attendance(*, sample, kind, **_rest):
    if place_of(sample).attendance == kind:
        raise ChangedMeanwhile(_("That is noted already."))


def _present(**given):
    _attendance(kind=Happening.PRESENT, **given)


def _absent(**given):
    _attendance(kind=Happening.ABSENT, **given)


def _here(sample):
    place = place_of(sample)
    if place.attendance != Happening.PRESENT:
        raise Refused(_("This candidate is not noted as present. Note that first."))
    return place


def _second(*, sample, words, **_rest):
    _here(sample)
    _in_words(words=words)
    if spare_left(sample) < 1:
        raise Refused(_("No spare tube is left for this code. The stock room packs another and notes it."))


def _colour(*, sitting, sample, words, test, **_rest):
    place = _here(sample)
    _in_words(words=words)
    if not place.colour_help:
        raise Refused(_("The class list does not say that colours may be named for this candidate. What was "
                        "said all the same is an incident: note it as one."))
    tests = {entry.test for entry in knowledge(sitting.exam.centre).schemes[sitting.exam.scheme].stages}
    if test not in tests:
        raise Refused(_("Say in which test the colour was named."))


def _left(*, sample, **_rest):
    if _here(sample).left:
        raise ChangedMeanwhile(_("That is noted already."))


def _time(*, minutes, words, **_rest):
    _in_words(words=words)
    if not minutes or not 1 <= minutes <= MOST_MINUTES:
        raise Refused(_("Give the minutes as a whole number from 1 to %(most)d.") % {"most": MOST_MINUTES})


def _in_words(*, words, **_rest):
    if len(words) < 3:
        raise Refused(_("Say it in words: they stand in the audit trail."))


CHECKS = {
    Happening.PRESENT: _present, Happening.ABSENT: _absent, Happening.SECOND: _second,
    Happening.COLOUR: _colour, Happening.LEFT: _left, Happening.TIME: _time,
}


def _move_ends(row, minutes):
    """Whoever keeps the end of a candidate's time moves it (settings.TIME_GIVEN_BACK names them)."""
    samples = [row.sample] if row.sample else list(Sample.objects.filter(sitting=row.sitting).defer("salt"))
    for path in getattr(settings, "TIME_GIVEN_BACK", ()):
        import_string(path)(samples=samples, minutes=minutes)


def _refuse_state(exam):
    if exam.state != State.PREPARED:
        raise Refused(_("The day is kept while the exam is prepared and not yet sat. It is now: %(state)s.")
                      % {"state": exam.get_state_display()})


def _record(row, who, what, **more):
    audit.record(centre=row.sitting.exam.centre, who=who, what=what, about=_about(row.sitting, row.sample),
                 detail={"exam": row.sitting.exam_id, "note": row.pk, "kind": row.kind, "words": row.words,
                         "test": row.test, "minutes": row.minutes} | more)


def _about(sitting, sample=None):
    return f"{sitting.exam.name}, {sitting.name}" + (f", {sample.code}" if sample else "")
