"""What was set in an exam or a room is set back as it was before, with a reason, where nobody set it anew."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Exam, Room, User
from examkit.planning.rules import Rules
from examkit.planning.selectors.gone import PLACE_BACK, SET_BACK, placed_in, set_in
from examkit.planning.selectors.rooms import what_stands_at
from examkit.planning.services.exams import refuse_same_name
from examkit.planning.services.guard import locked, open_draft, reasoned, touch
from examkit.planning.services.pool import put_pool
from examkit.planning.services.rooms import from_told, put_place, told_of
from examkit.planning.services.rules import refuse_strange
from examkit.planning.services.staff import give_duty
from examkit.undo import to_take_back


@transaction.atomic
def setting_undo(*, exam, who, number, reason):
    """Set particulars, pool, rules, a sitting or somebody's part back as before; `number` is the act's entry
    in the audit trail."""
    exam, reason = locked(exam), reasoned(reason)
    entry = to_take_back(exam.centre, set_in(exam), back=SET_BACK, number=number)
    BACK[entry.what](exam, entry.detail)
    audit.record(centre=exam.centre, who=who, what=SET_BACK, about=exam.name,
                 detail={"gone": number, "act": entry.what, "reason": reason})


@transaction.atomic
def place_undo(*, room, who, number, reason):
    """Put a place of a room back as it was, or the room to whom it was open; `number` as above."""
    reason, room = reasoned(reason), Room.objects.select_for_update().get(pk=room.pk)
    entry = to_take_back(room.centre, placed_in(room), back=PLACE_BACK, number=number)
    kept = entry.detail
    if "separate" in kept:
        _refuse_set_anew(room.separate != kept["separate"])
        room.separate = not kept["separate"]
        room.save(update_fields=["separate"])
    else:
        _refuse_set_anew(what_stands_at(room, kept["row"], kept["column"]) != kept["now"])
        put_place(room, kept["row"], kept["column"], kept["before"])
    audit.record(centre=room.centre, who=who, what=PLACE_BACK, about=entry.about,
                 detail={"gone": number, "reason": reason})


def _particulars(exam, kept):
    exam = open_draft(exam)
    before, after = (_as_stored(kept[side]) for side in ("before", "after"))
    _refuse_set_anew(any(getattr(exam, name) != value for name, value in after.items()))
    if "name" in before:
        refuse_same_name(exam.centre, before["name"])
    touch(exam, **before)


def _as_stored(told):
    return {name: Exam._meta.get_field(name).to_python(value) for name, value in told.items()}


def _rules(exam, kept):
    exam = open_draft(exam)
    _refuse_set_anew(exam.rules != kept["after"])
    refuse_strange(exam, Rules.from_json(kept["before"]))
    touch(exam, rules=kept["before"])


def _pool(exam, kept):
    exam = open_draft(exam)
    now = set(exam.pool.values_list("formula", flat=True))
    added, removed = set(kept["added"]), set(kept["removed"])
    _refuse_set_anew(added - now or removed & now)
    put_pool(exam, (now - added) | removed)


def _sitting(exam, kept):
    exam = open_draft(exam)
    sitting = exam.sittings.filter(pk=kept["sitting"]).select_related("room").first()
    if sitting is None:
        raise Refused(_("This sitting is deleted. Bring it back first."))
    _refuse_set_anew(told_of(sitting) != kept["after"])
    for name, value in from_told(exam, kept["before"], but=sitting).items():
        setattr(sitting, name, value)
    sitting.save()


def _given(exam, kept):
    duty = exam.duties.filter(user__username=kept["person"], part=kept["part"]).first()
    _refuse_set_anew(duty is None)
    duty.delete()


def _taken(exam, kept):
    user = User.objects.filter(username=kept["person"]).first()
    _refuse_set_anew(user is None or exam.duties.filter(user=user, part=kept["part"]).exists())
    give_duty(exam, user, kept["part"])


def _refuse_set_anew(changed):
    if changed:
        raise Refused(_("This was set anew since. Undo that first, or set it as you want it."))


BACK = {
    "exam changed": _particulars, "rules of the draw set": _rules, "pool changed": _pool,
    "sitting changed": _sitting, "duty given": _given, "duty taken": _taken,
}
