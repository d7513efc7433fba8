"""Mark schemes of a centre's own, and another one for an exam: with its effects seen, and a reason."""

from dataclasses import asdict

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.knowledge import knowledge
from examkit.models import Exam, OwnKind, State
from examkit.own.services import own_add, own_change
from examkit.planning.services import exam_move
from grading.errors import NotPossible
from grading.marking.services import needed
from grading.models import Foreseen, Record
from grading.schemes import foresight
from grading.schemes.selectors import counting, digest, effects, opens
from grading.scoring.mark_scheme import MarkSchemeError, mark_scheme, problems

CHANGEABLE = (State.DRAWN, State.PREPARED, State.SAT, State.MARKED)


def mark_scheme_copy(*, centre, who, key, title, why):
    """A copy of a mark scheme, as an entry of the centre's own."""
    marking = {name: value for name, value in knowledge(centre).mark_schemes[key].items()
               if name not in ("mark_scheme", "source")}
    data = {"marking": marking | {"title": title}}
    return own_add(centre=centre, who=who, kind=OwnKind.MARKING, data=data, why=why)


def mark_scheme_change(*, entry, who, version, data, why):
    """Change a mark scheme; one that the scorer cannot use is refused with all its faults."""
    found = list(problems(data["marking"] | {"mark_scheme": entry.key}, knowledge(entry.centre)))
    if found:
        raise MarkSchemeError(entry.key, found)
    return own_change(entry=entry, who=who, version=version, data=data, why=why)


@transaction.atomic
def mark_scheme_apply(*, exam, key, seen, reason, who):
    """Give an exam another mark scheme; `seen` is the digest of the effects that were shown.

    Suggestions are made anew. A mark that speaks of other words, marks or suggestions than before no longer
    counts: an examiner gives it again, and a finished record that has such a mark is opened for it.
    """
    exam, reason = Exam.objects.select_for_update().select_related("centre").get(pk=exam.pk), needed(reason)
    refuse(exam, key)
    seen_anew = _held(exam, key)
    found = effects(exam, key, seen_anew)
    if digest(exam, key, found) != seen:
        raise _changed()
    before, exam.mark_scheme, exam.version = exam.mark_scheme, key, exam.version + 1
    exam.save(update_fields=["mark_scheme", "version"])
    opened = [sight.record.sample.code for sight in seen_anew if _again(sight, key)]
    Foreseen.objects.filter(record__sample__exam=exam).delete()  # what was looked at is done
    audit.record(centre=exam.centre, who=who, what="mark scheme changed", about=exam.name, detail={
        "from": before, "to": key, "reason": reason, "opened": opened,
        "marks": {effect.code: effect.told() for effect in found}})
    if exam.state == State.MARKED and opened:
        exam_move(exam=exam, to=State.SAT, who=who, reason=f"{_('mark scheme changed')}: {reason}")
    return found


def refuse(exam, key):
    """Refuse a mark scheme that the exam cannot get now."""
    if exam.state not in CHANGEABLE:
        raise NotPossible(
            _("The results are released. Withdraw the release before you change the mark scheme.")
            if exam.state == State.RELEASED else
            _("This exam is a draft: choose its mark scheme among its particulars."))
    mark_scheme(knowledge(exam.centre), key)
    if key == exam.mark_scheme:
        raise NotPossible(_("The exam is marked by this mark scheme already."))


def _held(exam, key):
    """The records of an exam by the other mark scheme, held until all is done; refused where more of them
    are to be read anew than anybody waits for: then they are not what was shown."""
    list(Record.objects.select_for_update(of=("self",)).filter(sample__exam=exam).order_by("pk"))
    found = foresight.sights(exam, key)
    if len(foresight.unknown(found)) > foresight.AT_ONCE:
        raise _changed()
    return found


def _changed():
    return ChangedMeanwhile(_("Records or marks of this exam changed since the effects were shown. Look at "
                              "them again."))


def _again(sight, key):
    """New suggestions for a record; whether it was finished and must be opened again."""
    record, fresh = sight.record, sight.known(key)
    reopened = opens(record, fresh)
    for award, steps in counting(record, fresh):
        _speak(award, steps, fresh)
    record.paper, record.finished = fresh.as_json(), record.finished and not reopened
    record.save(update_fields=["paper", "finished"])
    return reopened


def _speak(award, steps, fresh):
    """Let an award speak of fresh suggestions: in their steps, or of nothing where it has none there."""
    if steps is None:
        award.suggestion = award.suggestion | {"stamp": ""}  # it says no longer what it spoke of
        award.save(update_fields=["suggestion"])
    elif award.suggestion["step_marks"] != fresh.step_marks:
        part = fresh.part(award.part)
        award.steps, award.out_of_steps, award.suggested_steps = steps, part.out_of, part.steps
        award.suggestion = award.suggestion | asdict(part) | {
            "stamp": part.stamp, "step_marks": fresh.step_marks, "mark_scheme": fresh.mark_scheme}
        award.version += 1
        award.save(update_fields=["steps", "out_of_steps", "suggested_steps", "suggestion", "version"])
