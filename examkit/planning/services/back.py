"""Rooms and sittings that were deleted by mistake are made again as the audit trail has them."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Bench, Room, Sitting
from examkit.planning.selectors.gone import ROOM_BACK, ROOMS, SITTING_BACK, sittings_gone_of
from examkit.planning.services.guard import open_draft, reasoned
from examkit.planning.services.rooms import BENCH_FIELDS, from_told
from examkit.undo import to_take_back


@transaction.atomic
def room_back(*, centre, who, number, reason):
    """Make a deleted room again as it was laid out; `number` is its entry in the audit trail."""
    reason = reasoned(reason)
    kept = to_take_back(centre, ROOMS, back=ROOM_BACK, number=number).detail
    if centre.rooms.filter(name=kept["name"]).exists():
        raise Refused(_("There is a room called '%(name)s' already.") % {"name": kept["name"]})
    room = Room.objects.create(centre=centre, name=kept["name"], **kept["room"])
    Bench.objects.bulk_create(
        Bench(room=room, **dict(zip(BENCH_FIELDS, bench, strict=True))) for bench in kept["benches"])
    audit.record(centre=centre, who=who, what=ROOM_BACK, about=room.name,
                 detail={"gone": number, "reason": reason})
    return room


@transaction.atomic
def sitting_back(*, exam, who, number, reason):
    """Put a deleted sitting back into a draft, in the room of that name; `number` is its audit entry."""
    exam, reason = open_draft(exam), reasoned(reason)
    kept = to_take_back(exam.centre, sittings_gone_of(exam), back=SITTING_BACK, number=number).detail
    sitting = Sitting.objects.create(exam=exam, **from_told(exam, kept))
    audit.record(centre=exam.centre, who=who, what=SITTING_BACK, about=f"{exam}: {sitting.name}",
                 detail={"gone": number, "reason": reason})
    return sitting
