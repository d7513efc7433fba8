"""The knowledge base as the running application sees it: shipped, or with a centre's own entries over it."""

from functools import cache, lru_cache

from django.conf import settings

from examkit.chemistry.knowledge.layers import own
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.overlay import fitting, kept_schemes, load_with
from examkit.models import Own

USUAL_SCHEME, USUAL_MARK_SCHEME = "semimicro", "common"  # what a form proposes first


def knowledge(centre=None):
    """The shipped base of `settings.KNOWLEDGE_DIR`; for a centre, with what it has of its own over it.

    Checked ones are kept under `settings.VAR_DIR`. An entry that a newer shipped base no longer lets pass is
    left out (`left_out` says which), so that all else goes on working; a scheme is still there for the exams
    that name it.
    """
    return _merged(own_entries(centre))[0] if centre else _shipped()


def left_out(centre):
    """The problems of the centre's entries that do not pass over the shipped base of today."""
    return _merged(own_entries(centre))[1]


def own_entries(centre):
    """What a centre has of its own and reads today, as the knowledge base takes it."""
    rows = Own.objects.filter(centre=centre, active=True).select_related("centre", "by")
    return tuple(own_entry(row) for row in rows)


def own_entry(row):
    """A stored entry as the knowledge base takes it; its source is the centre, by name, date and reason."""
    said = f"{row.centre} ({row.by}, {row.at:%Y-%m-%d}): {row.why}" if row.why.strip() else ""
    return own(row.kind, row.key, row.data | {"source": said})


def shipped_with(entries):
    """The base with these entries over it; raises KnowledgeError, which lists all that is wrong with them."""
    return load_with(settings.KNOWLEDGE_DIR, settings.VAR_DIR / "knowledge", entries)


@cache
def _shipped():
    return load(settings.KNOWLEDGE_DIR, settings.VAR_DIR / "knowledge")


@lru_cache(maxsize=64)
def _merged(entries):
    """The base with those of the entries that pass over it, and the problems of the others."""
    if not entries:
        return _shipped(), ()
    good, problems = fitting(settings.KNOWLEDGE_DIR, settings.VAR_DIR / "knowledge", entries)
    failed = tuple({problem.entry: None for problem in problems})
    return kept_schemes(shipped_with(good), failed), tuple(problems)
