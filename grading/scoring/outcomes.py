"""What a test can show, as short wordings: an examiner who enters a record picks instead of typing."""

from dataclasses import dataclass, field, replace
from functools import cache

from examkit.chemistry.backwards import runs
from examkit.chemistry.describe import describe
from examkit.chemistry.knowledge.model import Outcome


@dataclass(frozen=True)
class Choice:
    """A wording and the part of the test that it speaks of; it reads back to `seen`."""

    text: str
    facet: str
    title: str
    seen: tuple[Outcome, ...] = field(default=(), hash=False)

    def __str__(self):
        return self.text


@cache
def choices(kb, scheme, test_id):
    """The distinct outcomes that a test can show over the syllabus of a scheme (its key), facet by facet.

    Empty for a scheme or test that is not there.
    """
    plan, test = kb.schemes.get(scheme), kb.tests.get(test_id)
    if plan is None or test is None:
        return ()
    found = [choice for facet in test.facets.values() for choice in _of_facet(kb, plan, test, facet)]
    return tuple({choice.text: choice for choice in reversed(found)}.values())[::-1]


def _of_facet(kb, plan, test, facet):
    """The wordings of one facet: what is seen, the most frequent first, and that nothing is."""
    counted = {}
    for seen in (*(run.seen for run in runs(kb, plan, test, facet)), *_also(kb, plan, test, facet)):
        choice = _choice(test, facet, tuple(map(_short, seen)))
        counted[choice] = counted.get(choice, 0) + 1
    found = sorted((c for c in counted if any(o.seen for o in c.seen)), key=lambda c: -counted[c])
    silent = [c for c in counted if not any(o.seen for o in c.seen)]
    return [*dict.fromkeys(found), *(choice for choice in silent[:1] if not _only_colours(kb, choice))]


def _only_colours(kb, choice):
    """Whether "nothing" is itself a colour ("white or colourless"), which other wordings say."""
    return set(choice.text.split()) <= {*kb.colours, "or"}


def _also(kb, plan, test, facet):
    """Other published outcomes of the ions of the syllabus."""
    facts = (kb.ions[ion].facts.get((test.id, facet.key)) for ion in (*plan.cations, *plan.anions))
    return [other.seen for fact in facts if fact for other in fact.also]


def _short(item):
    """An outcome with its most usual colour and without what may be seen beside it."""
    beside = item.also_seen if item.event in ("gas", "effervescence", "smell") and not _told(item) else None
    return replace(item, colours=item.colours[:1], also_seen=beside, product=None, strength=0)


def _told(item):
    """Whether a gas is told by its name, its smell or its colour already."""
    return bool(item.gas or item.smell or item.colours)


def _choice(test, facet, seen):
    text = describe(facet, seen)
    if test.id.startswith("confirm"):
        text = f"{facet.title}: {text}"
    return Choice(text, facet.key, facet.title, seen)
