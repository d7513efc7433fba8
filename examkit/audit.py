"""The audit trail: append-only, each entry chained to the one before by SHA-256."""

import hashlib
import json
from dataclasses import dataclass

from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction
from django.utils import timezone

from examkit.models import AuditEntry, Centre

START = "0" * 64
HASHED = ("sequence", "at", "who", "what", "about", "detail", "previous")


@dataclass(frozen=True)
class Head:
    """The last link of a centre's chain; printed and kept elsewhere, it shows that nothing was cut off."""

    sequence: int
    hash: str


@transaction.atomic
def record(*, centre, who, what, about, detail=None):
    """Append an entry to the centre's trail: `who` (a user or words) did `what` to `about`."""
    Centre.objects.select_for_update().get(pk=centre.pk)  # one link at a time (SQLite has one writer anyway)
    last = head(centre)
    entry = AuditEntry(
        centre=centre, sequence=last.sequence + 1, at=timezone.now().isoformat(timespec="microseconds"),
        who=_field("who", _name(who)), what=_field("what", what), about=_field("about", about),
        detail=_plain(detail or {}), previous=last.hash,
    )
    entry.hash = link(entry)
    entry.save(force_insert=True)
    return entry


def head(centre):
    """The last link of a centre's chain; sequence 0 where it has none yet."""
    links = AuditEntry.objects.filter(centre=centre).order_by("-sequence").values_list("sequence", "hash")
    return Head(*(links.first() or (0, START)))


def verify(centre, *, printed=None):
    """All that is wrong with a centre's chain, in words; `printed` is the hash of a head kept elsewhere."""
    problems, previous, number, found = [], START, 0, printed is None
    for entry in AuditEntry.objects.filter(centre=centre).order_by("sequence").iterator():
        problems += _wrong(entry, number + 1, previous)
        previous, number = entry.hash, entry.sequence
        found = found or entry.hash == printed
    if not found:
        problems.append(f"No entry has the printed hash {printed}: entries were cut off or replaced.")
    return problems


def link(entry):
    """The hash of an entry over all its fields and the hash before it, in hexadecimal.

    A zero byte, then canonical JSON (sorted keys, no spaces, UTF-8): every entry is one byte string.
    """
    fields = {name: getattr(entry, name) for name in HASHED} | {"centre": entry.centre_id}
    text = json.dumps(fields, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(b"\0" + text.encode()).hexdigest()


def _wrong(entry, number, previous):
    if entry.sequence != number:
        yield f"Entry {number} is missing before entry {entry.sequence}."
    if entry.previous != previous:
        yield f"Entry {entry.sequence} does not follow from the entry before it."
    if entry.hash != link(entry):
        yield f"Entry {entry.sequence} ({entry.what}, {entry.about}) was changed after it was written."


def _name(who):
    return who if isinstance(who, str) else who.get_username()


def _field(name, value):
    """Text that fits its column; NUL bytes, which PostgreSQL cannot hold, are made visible."""
    return _text(str(value))[:AuditEntry._meta.get_field(name).max_length]


def _text(value):
    return value.replace("\0", "\N{SYMBOL FOR NULL}").encode(errors="backslashreplace").decode()


def _plain(detail):
    """Detail as both databases give it back: floats as text (PostgreSQL rewrites 1e16), all else as JSON."""
    return _steady(json.loads(json.dumps(detail, cls=DjangoJSONEncoder)))


def _steady(value):
    match value:
        case dict():
            return {_text(key): _steady(item) for key, item in value.items()}
        case list():
            return [_steady(item) for item in value]
        case float():
            return repr(value)
        case str():
            return _text(value)
    return value
