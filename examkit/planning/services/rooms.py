"""Rooms with their benches, and the sittings of an exam."""

from datetime import UTC, datetime

from django.db import transaction
from django.db.models import ProtectedError
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Bench, Room, Sitting, State
from examkit.models.sitting import USUAL_MINUTES
from examkit.planning.grid import BENCH, CLOSED, CUPBOARD, LEFT, PLACES, SINK, label_at
from examkit.planning.selectors.rooms import what_stands_at
from examkit.planning.services.guard import locked, open_draft, reasoned

MOST = 40  # rows or columns
MOST_MINUTES = 1440  # of a sitting
LAYOUT = ("separate", "rows", "columns", "fixtures")
BENCH_FIELDS = ("row", "column", "label", "open", "left_handed")


@transaction.atomic
def room_create(*, centre, who, name, rows, columns):
    """A room with rows x columns benches, all open: A1, A2, ... in the first row."""
    if Room.objects.filter(centre=centre, name=name).exists():
        raise Refused(_("There is a room called '%(name)s' already. Choose another name.") % {"name": name})
    if not (1 <= rows <= MOST and 1 <= columns <= MOST):
        raise Refused(_("A room has 1 to %(most)d rows and as many columns.") % {"most": MOST})
    room = Room.objects.create(centre=centre, name=name, rows=rows, columns=columns)
    Bench.objects.bulk_create(
        Bench(room=room, row=row, column=column, label=label_at(row, column))
        for row in range(rows) for column in range(columns)
    )
    audit.record(
        centre=centre, who=who, what="room made", about=name, detail={"rows": rows, "columns": columns}
    )
    return room


@transaction.atomic
def room_place(*, room, who, row, column, what):
    """Put a bench, a sink, a fume cupboard or nothing (an aisle) at a place of a room's grid."""
    room = Room.objects.select_for_update().get(pk=room.pk)
    if what not in PLACES or not (0 <= row < room.rows and 0 <= column < room.columns):
        raise Refused(_("There is no such place in the room. Look at the room again."))
    before, label = what_stands_at(room, row, column), label_at(row, column)
    put_place(room, row, column, what)
    audit.record(centre=room.centre, who=who, what="room changed", about=f"{room} {label}", detail={
        "room": room.pk, "row": row, "column": column, "before": before, "now": what})
    return room


def put_place(room, row, column, what):
    """Make a place of a room's grid what it shall be."""
    label = label_at(row, column)
    if what in (BENCH, LEFT, CLOSED):
        room.benches.update_or_create(row=row, column=column, defaults={
            "label": label, "open": what != CLOSED, "left_handed": what == LEFT})
    else:
        _take_bench_away(room, row, column, label)
    others = [fixture for fixture in room.fixtures if fixture[:2] != [row, column]]
    room.fixtures = sorted([*others, [row, column, what]] if what in (SINK, CUPBOARD) else others)
    room.save(update_fields=["fixtures"])


def _take_bench_away(room, row, column, label):
    try:
        with transaction.atomic():
            room.benches.filter(row=row, column=column).delete()
    except ProtectedError:
        raise Refused(_("Bench %(bench)s has samples of an exam. Close it instead.") % {
            "bench": label}) from None


@transaction.atomic
def room_separate(*, room, who, separate):
    """Keep a room for candidates who need a separate room, or open it to all."""
    room.separate = separate
    room.save(update_fields=["separate"])
    audit.record(centre=room.centre, who=who, what="room changed", about=str(room),
                 detail={"room": room.pk, "separate": separate})
    return room


@transaction.atomic
def room_delete(*, room, who, reason):
    """Delete a room that no sitting uses, with a reason; the trail keeps how it is laid out."""
    reason, centre, name = reasoned(reason), room.centre, room.name
    laid_out = {field: getattr(room, field) for field in LAYOUT}
    benches = list(room.benches.values_list(*BENCH_FIELDS))
    try:
        with transaction.atomic():
            room.delete()
    except ProtectedError:
        raise Refused(
            _("The room '%(name)s' is used by sittings. Delete those first.") % {"name": name}
        ) from None
    audit.record(centre=centre, who=who, what="room deleted", about=name, detail={
        "name": name, "room": laid_out, "benches": benches, "reason": reason})


@transaction.atomic
def sitting_add(*, exam, who, room, name, starts_at=None, minutes=None):
    """A sitting of an exam: a time in a room of the same centre, as long as the exam's others if nothing else
    is said."""
    exam = open_draft(exam)
    refuse_strange(exam, room)
    refuse_same_name(exam, name)
    minutes = minutes or usual_minutes(exam)
    _refuse_length(minutes)
    sitting = Sitting.objects.create(exam=exam, room=room, name=name, starts_at=starts_at, minutes=minutes)
    audit.record(centre=exam.centre, who=who, what="sitting added", about=f"{exam}: {name}",
                 detail={"room": room.name, "starts": starts_at, "minutes": minutes})
    return sitting


@transaction.atomic
def sitting_change(*, sitting, who, room, name, starts_at=None, minutes=None):
    """Change a sitting's name, room, time or length (None: as it is)."""
    exam = open_draft(sitting.exam)
    refuse_strange(exam, room)
    refuse_same_name(exam, name, but=sitting)
    _refuse_length(minutes or sitting.minutes)
    before = told_of(sitting)
    sitting.name, sitting.room, sitting.starts_at = name, room, starts_at
    sitting.minutes = minutes or sitting.minutes
    sitting.save()
    audit.record(centre=exam.centre, who=who, what="sitting changed", about=f"{exam}: {name}", detail={
        "exam": exam.pk, "sitting": sitting.pk, "before": before, "after": told_of(sitting)})
    return sitting


@transaction.atomic
def sitting_length(*, sitting, who, minutes, reason):
    """Set how long a sitting is, with a reason, until it is sat: the draw does not hang on it."""
    exam, before, reason = locked(sitting.exam), sitting.minutes, reasoned(reason)
    if exam.state not in (State.DRAFT, State.DRAWN, State.PREPARED):
        raise Refused(_("The exam is %(state)s: its sittings are over.") % {
            "state": exam.get_state_display()})
    _refuse_length(minutes)
    sitting.minutes = minutes
    sitting.save(update_fields=["minutes"])
    audit.record(centre=exam.centre, who=who, what="length of a sitting set", about=f"{exam}: {sitting.name}",
                 detail={"before": before, "after": minutes, "reason": reason})
    return sitting


def usual_minutes(exam):
    """The length that a new sitting of an exam has: that of the one before."""
    last = exam.sittings.order_by("-pk").first()
    return last.minutes if last else USUAL_MINUTES


def _refuse_length(minutes):
    if not 1 <= minutes <= MOST_MINUTES:
        raise Refused(_("A sitting is 1 to %(most)d minutes long.") % {"most": MOST_MINUTES})


def told_of(sitting):
    """A sitting as the audit trail tells it; the time in UTC."""
    starts = sitting.starts_at and sitting.starts_at.astimezone(UTC).isoformat()
    return {"name": sitting.name, "room": sitting.room.name, "starts": starts, "minutes": sitting.minutes}


def from_told(exam, told, but=None):
    """The fields of a sitting as the audit trail tells it; refused where another has its name, or its room
    is gone."""
    refuse_same_name(exam, told["name"], but=but)
    room = exam.centre.rooms.filter(name=told["room"]).first()
    if room is None:
        raise Refused(_("Its room '%(room)s' is deleted too. Bring the room back first.") % told)
    starts_at = told["starts"] and datetime.fromisoformat(told["starts"])
    return {"room": room, "name": told["name"], "starts_at": starts_at,
            "minutes": told.get("minutes", USUAL_MINUTES)}


@transaction.atomic
def sitting_delete(*, sitting, who, reason):
    """Take a sitting out of a draft, with a reason."""
    exam, reason = open_draft(sitting.exam), reasoned(reason)
    audit.record(centre=exam.centre, who=who, what="sitting deleted", about=f"{exam}: {sitting.name}",
                 detail={"exam": exam.pk} | told_of(sitting) | {"reason": reason})
    sitting.delete()


def refuse_strange(exam, room):
    """Refuse a room of another centre."""
    if room.centre_id != exam.centre_id:
        raise Refused(_("That room belongs to another centre."))


def refuse_same_name(exam, name, but=None):
    """Refuse the name of another sitting of the exam."""
    if exam.sittings.filter(name=name).exclude(pk=but and but.pk).exists():
        raise Refused(
            _("There is a sitting called '%(name)s' already. Choose another name.") % {"name": name}
        )
