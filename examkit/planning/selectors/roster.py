"""A class list beside the candidates that an exam has already."""

import hashlib
import json
from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from examkit.models import Candidate
from examkit.planning.roster import Entry

# field of the model -> field of the class list
FIELDS = {
    "number": "number", "name": "name", "group": "group", "sitting_wish": "sitting", "bench_wish": "bench",
    "needs_colour_help": "colour_help", "extra_time_percent": "extra_time", "rest_breaks": "rest_breaks",
    "separate_room": "separate_room", "left_handed": "left_handed",
}
COLUMNS = {
    "number": _("candidate number"), "name": _("name"), "first": _("first name"), "last": _("last name"),
    "group": _("class"), "sitting": _("sitting"), "bench": _("bench"), "colour_help": _("help with colours"),
    "extra_time": _("extra time (%)"), "rest_breaks": _("rest breaks"), "separate_room": _("separate room"),
    "left_handed": _("left-handed bench"), "needs": _("needs in free words"), "": _("not read"),
}


@dataclass(frozen=True)
class Change:
    """A candidate whom the list gives otherwise, with the fields that differ: (name, now, then)."""

    candidate: Candidate
    entry: Entry
    fields: tuple


@dataclass(frozen=True)
class Difference:
    """What importing a list would do."""

    added: tuple[Entry, ...]
    changed: tuple[Change, ...]
    same: int
    absent: tuple[Candidate, ...]  # in the exam, not in the list: they stay


def compare(exam, entries):
    """What is added, changed, and stays when these entries are imported; candidates are known by their
    number."""
    known = {candidate.number: candidate for candidate in exam.candidates.all()}
    changed = [_change(known[entry.number], entry) for entry in entries if entry.number in known]
    listed = {entry.number for entry in entries}
    return Difference(
        tuple(entry for entry in entries if entry.number not in known),
        tuple(change for change in changed if change.fields),
        sum(not change.fields for change in changed),
        tuple(candidate for number, candidate in known.items() if number not in listed),
    )


def fingerprint(candidate):
    """Says whether a form still speaks of the candidate as stored; empty for one who is not stored yet."""
    if candidate is None:
        return ""
    said = json.dumps([getattr(candidate, field) for field in FIELDS])
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def field_values(entry):
    """An entry as fields of a candidate."""
    return {field: getattr(entry, name) for field, name in FIELDS.items()}


def _change(candidate, entry):
    differ = [
        (COLUMNS[FIELDS[field]], getattr(candidate, field), value)
        for field, value in field_values(entry).items() if getattr(candidate, field) != value
    ]
    return Change(candidate, entry, tuple(differ))
