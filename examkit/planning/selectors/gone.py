"""What can still be taken back: deleted rooms and sittings, and acts on a class list."""

from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _

from examkit.models import AuditEntry
from examkit.undo import standing

ROOMS, ROOM_BACK = Q(what="room deleted", detail__has_key="benches"), "room brought back"
SITTING_BACK, LIST_BACK = "sitting brought back", "class list as before"
MOST_SHOWN = 30


@dataclass(frozen=True)
class Gone:
    """An act that can be taken back: its entry in the trail, what it did in words, and the address that
    takes it back."""

    entry: AuditEntry
    told: str
    url: str


def sittings_gone_of(exam):
    """The acts that deleted a sitting of this exam; exams may change their names, so by key."""
    return Q(what="sitting deleted", detail__exam=exam.pk)


def acts_on_list_of(exam):
    """The acts on the class list of this exam of which it is kept what they changed."""
    return Q(list_act__exam=exam)


def gone_rooms(centre):
    """The rooms that were deleted last and were not brought back."""
    return [Gone(entry, entry.detail["name"], reverse("planning:room-back", args=[entry.sequence]))
            for entry in standing(centre, ROOMS, back=ROOM_BACK)[:MOST_SHOWN]]


def gone_sittings(exam):
    """The sittings of an exam that were deleted last and were not brought back."""
    entries = standing(exam.centre, sittings_gone_of(exam), back=SITTING_BACK)[:MOST_SHOWN]
    return [Gone(entry, f"{entry.detail['name']}, {entry.detail['room']}",
                 reverse("planning:sitting-back", args=[exam.pk, entry.sequence])) for entry in entries]


def acts_on_list(exam):
    """What was done to a class list last and was not taken back."""
    entries = standing(exam.centre, acts_on_list_of(exam), back=LIST_BACK)[:MOST_SHOWN]
    return [Gone(entry, _told(entry), reverse("planning:list-undo", args=[exam.pk, entry.sequence]))
            for entry in entries]


def _told(entry):
    detail = entry.detail
    match entry.what:
        case "class list imported":
            return _("list imported: %(added)d added, %(changed)d changed") % {
                "added": detail["added"], "changed": len(detail["changed"])}
        case "candidate removed":
            return _("%(number)s taken off the list") % detail
        case "candidate changed":
            return _("%(number)s changed") % detail
    return _("%(number)s added by hand") % detail
