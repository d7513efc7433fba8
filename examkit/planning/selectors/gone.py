"""What can still be taken back: deleted rooms and sittings, acts on a class list, what was set."""

from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from examkit.models import AuditEntry, Part, State
from examkit.planning.grid import label_at
from examkit.undo import standing

ROOMS, ROOM_BACK = Q(what="room deleted", detail__has_key="benches"), "room brought back"
SITTING_BACK, LIST_BACK = "sitting brought back", "class list as before"
SET_BACK, PLACE_BACK = "set back as before", "room set back"
SETTINGS = {
    "exam changed": _lazy("particulars"), "rules of the draw set": _lazy("rules of the draw"),
    "pool changed": _lazy("pool"), "sitting changed": _lazy("sitting"), "duty given": _lazy("part given"),
    "duty taken": _lazy("part taken away"),
}
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


def set_in(exam):
    """The acts that set particulars, pool, rules, a sitting or a part of this exam."""
    return Q(what__in=SETTINGS, detail__exam=exam.pk)


def placed_in(room):
    """The acts that changed this room."""
    return Q(what="room changed", detail__room=room.pk)


def what_was_set(exam):
    """What was set in an exam last and was not taken back; what is frozen by a seal or a draw is left out."""
    frozen = exam.state != State.DRAFT or exam.commitment
    acts = set_in(exam) & Q(what__startswith="duty") if frozen else set_in(exam)
    entries = standing(exam.centre, acts, back=SET_BACK)[:MOST_SHOWN]
    return [Gone(entry, _set(entry), reverse("planning:setting-undo", args=[exam.pk, entry.sequence]))
            for entry in entries]


def _set(entry):
    """What was set, and from what to what where that is short."""
    detail, title = entry.detail, str(SETTINGS[entry.what])
    match entry.what:
        case "pool changed":
            return f"{title}: " + ", ".join([*(f"+ {salt}" for salt in detail["added"]),
                                             *(f"− {salt}" for salt in detail["removed"])])
        case "duty given" | "duty taken":
            return f"{title}: {detail['person']}, {Part(detail['part']).label}"
        case "rules of the draw set":
            return title
    before, after = detail["before"], detail["after"]
    changed = [f"{before[name] or '–'} → {after[name] or '–'}" for name in after
               if before[name] != after[name]]
    return f"{title}: " + "; ".join(changed)


def room_changes(room):
    """What was changed in a room last and was not taken back."""
    entries = standing(room.centre, placed_in(room), back=PLACE_BACK)[:MOST_SHOWN]
    return [Gone(entry, _placed(entry), reverse("planning:place-undo", args=[room.pk, entry.sequence]))
            for entry in entries]


def _placed(entry):
    detail = entry.detail
    if "separate" in detail:
        return _("kept for a separate room") if detail["separate"] else _("open to all")
    return f"{label_at(detail['row'], detail['column'])}: {detail['before']} → {detail['now']}"


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
