"""An exam's beginning, its particulars, and its way from draft to release."""

from django.db import transaction
from django.db.models import ProtectedError
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Exam, State
from examkit.planning.commitment import digest
from examkit.planning.selectors.life import ORDER, backwards, still_missing
from examkit.planning.services.guard import locked, open_draft, reasoned, same_version, touch

FIELDS = ("name", "held_on", "scheme", "mark_scheme", "sample_mg", "spare_percent")


@transaction.atomic
def exam_create(*, centre, who, **fields):
    """A new exam of a centre, as a draft."""
    refuse_same_name(centre, fields["name"])
    exam = Exam.objects.create(centre=centre, **fields)
    audit.record(centre=centre, who=who, what="exam made", about=exam.name, detail=_told(fields))
    return exam


@transaction.atomic
def exam_change(*, exam, who, version=None, **fields):
    """Change an exam's particulars while it is a draft."""
    exam = open_draft(exam)
    same_version(exam, version)
    if "name" in fields and fields["name"] != exam.name:
        refuse_same_name(exam.centre, fields["name"])
    changed = {name: value for name, value in fields.items() if getattr(exam, name) != value}
    if not changed:
        return exam
    before = {name: getattr(exam, name) for name in changed}
    touch(exam, **changed)
    audit.record(centre=exam.centre, who=who, what="exam changed", about=exam.name,
                 detail={"exam": exam.pk, "before": before, "after": changed})
    return exam


@transaction.atomic
def exam_delete(*, exam, who, reason):
    """Delete a draft with its roster, sittings and pool."""
    exam, reason = open_draft(exam), reasoned(reason)
    audit.record(centre=exam.centre, who=who, what="exam deleted", about=exam.name, detail={"reason": reason})
    exam.delete()


@transaction.atomic
def exam_move(*, exam, to, who, reason=""):
    """Move an exam one state on, refused while something is missing; or one back, with a reason."""
    exam, to = locked(exam), State(to)
    detail = {"from": exam.state, "to": to.value}
    if backwards(exam, to):
        detail |= {"reason": reasoned(reason)} | _go_back(exam)
    else:
        _refuse_missing(exam, to)
    if to == State.SAT:
        exam.list_acts.all().delete()  # names that went from the list are kept no longer than needed
    touch(exam, state=to)
    audit.record(centre=exam.centre, who=who, what="exam moved", about=exam.name, detail=detail)
    return exam


def _refuse_missing(exam, to):
    step = ORDER.index(to) - ORDER.index(exam.state)
    if step != 1:
        raise Refused(_("'%(exam)s' is %(state)s: the step after that is another one than %(to)s.") % {
            "exam": exam, "state": exam.get_state_display(), "to": to.label})
    missing = still_missing(exam)
    if missing:
        raise Refused("\n".join(str(sentence) for sentence in missing))


def _go_back(exam):
    """Undoing the draw takes with it all that the draw has made; what the trail keeps of it is returned."""
    if exam.state != State.DRAWN:
        return {}
    undone = {"commitment": exam.commitment, "seats": digest(sorted(
        exam.samples.values_list("candidate__number", "sitting__name", "bench__label", "salt")))}
    try:
        with transaction.atomic():
            exam.tubes.all().delete()
            exam.samples.all().delete()
    except ProtectedError:
        raise Refused(_("Records have been entered for this draw already, so it cannot be undone. "
                        "Remove them first.")) from None
    exam.expected.all().delete()
    exam.preparations.all().delete()  # ticks and trials of the stock room were for the old draw
    exam.trials.all().delete()
    touch(exam, seed="", nonce="", commitment="", edition="", draw={})
    return undone


def refuse_same_name(centre, name):
    """Refuse the name of another exam of the centre."""
    if Exam.objects.filter(centre=centre, name=name).exists():
        raise Refused(_("There is an exam called '%(name)s' already. Choose another name.") % {"name": name})


def _told(fields):
    return {name: str(value) for name, value in fields.items()}
