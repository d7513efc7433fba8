"""What an examiner enters: records as the candidates wrote them, and their way to `finished` and back."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.models import State
from examkit.planning.services import exam_move
from grading.errors import NotPossible, ReasonNeeded
from grading.marking.parts import stored
from grading.marking.selectors import still_unmarked, unfinished_codes
from grading.marking.writing import kept, line_words, replaced, result_words, suggested
from grading.models import Record, RecordLine


@transaction.atomic
def line_save(*, sample, test, observation, inference, version, who, chosen=None):
    """Keep what was written for one test; ChangedMeanwhile where another text was saved since `version`.

    `chosen` are the outcomes chosen from lists that stand, as words, in the observation.
    """
    record = record_for_writing(sample)
    line, _new = RecordLine.objects.get_or_create(record=record, test=test, defaults={"version": 0})
    new = line_words(line, observation, inference, chosen)
    if replaced(line, new, version=version, who=who, where=f"{sample.code}, {test}", exam=sample.exam):
        suggested(record, who)
    return line


@transaction.atomic
def result_save(*, sample, cation, anion, version, who):
    """Keep the cation and anion that the candidate named; `version` is that of the result alone."""
    record = record_for_writing(sample)
    new = result_words(cation, anion)
    if replaced(record, new, version=version, who=who, where=f"{sample.code}, result", exam=sample.exam):
        suggested(record, who)
    return record


@transaction.atomic
def record_enter(*, sample, who):
    """Say that a record was handed in, even if nothing stands on it."""
    record = record_for_writing(sample)
    if not record.paper:
        suggested(record, who)
    return record


@transaction.atomic
def suggestions_make(*, sample):
    """Suggest marks for a record that came in without an examiner, where that has not been done yet.

    Nothing that anybody wrote or awarded changes, so the trail has no entry of it.
    """
    record = record_for_writing(sample)
    if not record.paper:
        suggested(record, record.entered_by)
    return record


@transaction.atomic
def suggestions_renew(*, sample, who):
    """Read and score a record again with the words known now; the expected record stays the frozen one."""
    record = record_for_writing(sample)
    suggested(record, who)
    audit.record(
        centre=sample.exam.centre,
        who=who,
        what="suggestions renewed",
        about=about(sample),
        detail={"read_with": record.paper["read_with"]},
    )
    return record


@transaction.atomic
def record_absent(*, sample, reason, who):
    """Say that no record was handed in under this code: it is neither marked nor counted as zero."""
    if Record.objects.filter(sample=sample, absent=True).exists():
        return
    record, reason = record_for_writing(sample), needed(reason)
    if record.awards.exists() or record.cation or record.anion or _lines_with_words(record).exists():
        raise NotPossible(
            _(
                "Something has been entered under the code %(code)s. Clear it before you say that no "
                "record was handed in."
            )
            % {"code": sample.code}
        )
    Record.objects.filter(pk=record.pk).update(absent=True, finished=True)
    audit.record(
        centre=sample.exam.centre,
        who=who,
        what="no record handed in",
        about=about(sample),
        detail={"reason": reason},
    )


@transaction.atomic
def record_finish(*, sample, who):
    """Close a record whose every part has a mark for what is written now; closing it twice is once."""
    if Record.objects.filter(sample=sample, finished=True).exists():
        return
    record = record_for_writing(sample)
    if not record.paper:
        raise NotPossible(
            _("Nothing has been entered under the code %(code)s yet. Enter the record, or say that none was "
              "handed in.") % {"code": sample.code}
        )
    missing = still_unmarked(record)
    if missing:
        raise NotPossible(
            _("%(count)d marks are missing or older than what is written now; the first is “%(first)s”.")
            % {"count": len(missing), "first": missing[0].key}
        )
    Record.objects.filter(pk=record.pk).update(finished=True)
    suggestions, given = stored(record.paper), dict(record.awards.values_list("part", "steps"))
    steps, out_of = sum(suggestions.given(given).values()), suggestions.out_of
    audit.record(
        centre=sample.exam.centre,
        who=who,
        what="record finished",
        about=about(sample),
        detail={"steps": steps, "out_of": out_of, "edition": record.paper["edition"]},
    )


@transaction.atomic
def record_reopen(*, sample, reason, who):
    """Open a finished record again; an exam that was handed over goes back to marking with it."""
    exam, reason = sample.exam, needed(reason)
    if exam.state not in (State.SAT, State.MARKED):
        raise NotPossible(
            _(
                "The results are released. The teacher must withdraw the release before a record can be "
                "opened again."
            )
        )
    record = Record.objects.select_for_update().filter(sample=sample, finished=True).first()
    if record is None:
        raise NotPossible(_("The record %(code)s is open already.") % {"code": sample.code})
    Record.objects.filter(pk=record.pk).update(finished=False, absent=False)
    audit.record(
        centre=exam.centre,
        who=who,
        what="record opened again",
        about=about(sample),
        detail={"reason": reason},
    )
    if exam.state == State.MARKED:
        exam_move(exam=exam, to=State.SAT, who=who, reason=f"{sample.code}: {reason}")


@transaction.atomic
def exam_hand_over(*, exam, who):
    """Say that all records are marked: the exam goes to the teacher, once."""
    if exam.state == State.MARKED:
        return
    waiting = unfinished_codes(exam)
    if waiting:
        raise NotPossible(
            _("%(count)d records are not finished; the first is %(first)s.")
            % {"count": len(waiting), "first": waiting[0]}
        )
    exam_move(exam=exam, to=State.MARKED, who=who)


def record_for_writing(sample):
    """The record of a sample, locked; made where there is none yet, refused where it is closed."""
    if sample.exam.state != State.SAT:
        raise NotPossible(
            _(
                "Records can be entered and marked from the end of the last sitting until they are handed "
                "over. This exam is at “%(state)s”."
            )
            % {"state": sample.exam.get_state_display()}
        )
    Record.objects.get_or_create(sample=sample, defaults={"version": 0})
    locked = Record.objects.select_for_update(of=("self",))
    record = locked.select_related("sample__exam__centre").get(sample=sample)
    if record.finished:
        raise NotPossible(
            _("The record %(code)s is finished. Open it again, with a reason, before you change it.")
            % {"code": sample.code}
        )
    return record


def record_closed(sample):
    """The record of a sample, locked, between its finish and the release: to settle its marks."""
    if sample.exam.state not in (State.SAT, State.MARKED):
        raise NotPossible(
            _("Marks are settled between the sittings and the release. Withdraw the release first.")
            if sample.exam.state == State.RELEASED else _("Marks are settled after the sittings.")
        )
    locked = Record.objects.select_for_update(of=("self",)).select_related("sample__exam__centre")
    record = locked.filter(sample=sample, finished=True).first()
    if record is None:
        raise NotPossible(
            _("The record %(code)s is not finished: its examiner is to finish it first.")
            % {"code": sample.code}
        )
    return record


def about(sample):
    """How the audit trail names a record: by code and exam, never by candidate."""
    return f"{sample.code} · {sample.exam.name}"


def needed(reason):
    """The reason without the spaces around it; refused where there is none."""
    if not (reason := kept(reason or "").strip()):
        raise ReasonNeeded(_("Say why: the reason goes into the audit trail."))
    return reason


def _lines_with_words(record):
    return record.lines.exclude(observation="", inference="")
