"""What the page of the audit trail shows: which entries, and their details in words."""

import json
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.models import AuditEntry

STEP, STEPPED = "step_marks", ("from", "to", "out_of", "suggested", "steps")
HASH_CHARACTERS, SHORT_HASH = 64, 12


@dataclass(frozen=True)
class Asked:
    """What is looked for in the trail; whatever is empty is not asked for."""

    words: str = ""
    who: str = ""
    what: str = ""

    @classmethod
    def of(cls, data):
        """As a query string asks for it."""
        return cls(*(data.get(name, "").strip()[:200] for name in ("words", "who", "what")))


@dataclass(frozen=True)
class Told:
    """One detail of an entry: its name, what it says, and lines under it where it is a list of several."""

    name: str
    text: str
    lines: list = field(default_factory=list)


def entries(centre, asked):
    """The entries of a centre that were asked for, newest first."""
    found = AuditEntry.objects.filter(centre=centre).order_by("-sequence")
    for word in asked.words.split():
        found = found.filter(_has(word))
    found = found.filter(who=asked.who) if asked.who else found
    return found.filter(what=asked.what) if asked.what else found


def choices(centre):
    """The people and the acts that a centre's trail knows, each in order."""
    kept = AuditEntry.objects.filter(centre=centre).order_by()
    return {name: sorted(kept.values_list(name, flat=True).distinct()) for name in ("who", "what")}


def told(detail):
    """The details of an entry in words: marks as marks, hashes short, a list of several as lines."""
    return [_one(name, value) for name, value in _in_marks(detail).items() if not _empty(value)]


def _has(word):
    """SQLite keeps a detail with its accents escaped, PostgreSQL as they are: both are looked for."""
    written = Q(detail__icontains=word) | Q(detail__icontains=json.dumps(word)[1:-1])
    return written | Q(about__icontains=word) | Q(what__icontains=word)


def _one(name, value):
    name = name.replace("_", " ")
    if isinstance(value, dict):
        return Told(name, _count(value), [f"{key}: {_text(item)}" for key, item in value.items()])
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return Told(name, _count(value), [_text(item) for item in value])
    return Told(name, _text(value))


def _text(value):
    match value:
        case dict():
            shown = [(key.replace("_", " "), item) for key, item in _in_marks(value).items()]
            return "; ".join(f"{key}: {_text(item)}" for key, item in shown if not _empty(item))
        case list():
            nested = any(isinstance(item, list) for item in value)
            return ("; " if nested else ", ").join(_text(item) for item in value)
        case bool():
            return _("yes") if value else _("no")
        case str() if len(value) == HASH_CHARACTERS and set(value) <= set("0123456789abcdef"):
            return f"{value[:SHORT_HASH]}…"
    return "–" if _empty(value) else str(value)


def _in_marks(detail):
    """A detail whose marks are counted in steps, with the marks themselves."""
    try:
        step = Decimal(str(detail[STEP]))
    except (KeyError, InvalidOperation):
        return detail
    return {key: _marks(value, step) if key in STEPPED else value
            for key, value in detail.items() if key != STEP}


def _marks(value, step):
    return f"{(value * step).normalize():f}" if isinstance(value, int) else value


def _count(value):
    return ngettext("%(count)d line", "%(count)d lines", len(value)) % {"count": len(value)}


def _empty(value):
    return value is None or value in ("", [], {})
