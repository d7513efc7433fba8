"""An exam's life: what is done, what is still missing before the next state."""

from dataclasses import dataclass

from django.conf import settings
from django.urls import reverse
from django.utils.module_loading import import_string
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.models import State
from examkit.planning.selectors.draw import capacity
from examkit.planning.selectors.pool import uncovered

ORDER = list(State)


def next_state(exam):
    """The state after this one, or None at the end."""
    place = ORDER.index(State(exam.state)) + 1
    return ORDER[place] if place < len(ORDER) else None


def backwards(exam, to):
    """Whether `to` is the state just before the exam's own; anything else is no step back."""
    return ORDER.index(State(to)) == ORDER.index(State(exam.state)) - 1


def still_missing(exam):
    """What is missing before the exam's next state, as sentences; other parts add theirs
    (EXAM_CONDITIONS)."""
    to = next_state(exam)
    own = {State.DRAWN: _before_draw, State.MARKED: _before_marked}.get(to, lambda exam: [])
    sentences = list(own(exam))
    for path in getattr(settings, "EXAM_CONDITIONS", {}).get(to, ()):
        sentences += import_string(path)(exam)
    return sentences


def before_seal(exam):
    """What is missing before the draw can be sealed, as sentences."""
    return list(_before_seal(exam))


def _before_draw(exam):
    yield from _before_seal(exam)
    yield _("The draw is sealed, but not made yet.") if exam.commitment else _("The draw is not made yet.")


def _before_seal(exam):
    candidates, places = exam.candidates.count(), capacity(exam)
    if not candidates:
        yield _("The class list is empty: import it, or add candidates by hand.")
    if not exam.sittings.exists():
        yield _("There is no sitting yet: add one with its room.")
    elif candidates > places:
        yield _("%(candidates)d candidates, but only %(places)d open benches: add a sitting or open "
                "benches.") % {
            "candidates": candidates, "places": places}
    if exam.pool.count() < 2:
        yield _("The pool has fewer than two salts: choose them.")
    strange = uncovered(exam)
    if strange:
        yield _("The scheme does not cover these salts of the pool: %(salts)s. Choose others.") % {
            "salts": ", ".join(strange)}


def _before_marked(exam):
    """Records hang on samples by their reverse name, so that planning need not know the marker."""
    without = exam.samples.filter(record__isnull=True).count()
    unfinished = exam.samples.filter(record__finished=False).count()
    if without:
        yield ngettext("%(number)d sample has no record yet.", "%(number)d samples have no record yet.",
                       without) % {"number": without}
    if unfinished:
        yield ngettext("%(number)d record is not fully marked.", "%(number)d records are not fully marked.",
                       unfinished) % {"number": unfinished}


@dataclass(frozen=True)
class Step:
    """One thing to do on the way to the draw: what it is, how far it is, and where it is done."""

    title: str
    told: str
    done: bool
    url: str


def steps(exam):
    """The steps of planning an exam, in order."""
    candidates, places, pool = exam.candidates.count(), capacity(exam), exam.pool.count()
    sittings, drawn = exam.sittings.count(), exam.state != State.DRAFT
    return [
        Step(
            _("Class list"),
            ngettext("%(n)d candidate", "%(n)d candidates", candidates) % {"n": candidates},
            candidates > 0,
            reverse("planning:roster", args=[exam.pk]),
        ),
        Step(
            _("Rooms and sittings"),
            _("%(places)d open benches in %(sittings)s")
            % {
                "places": places,
                "sittings": ngettext("%(n)d sitting", "%(n)d sittings", sittings) % {"n": sittings},
            },
            drawn or (sittings > 0 and places >= candidates),
            reverse("planning:sittings", args=[exam.pk]),
        ),
        Step(
            _("Pool of salts"),
            ngettext("%(n)d salt chosen", "%(n)d salts chosen", pool) % {"n": pool},
            pool >= 2,
            reverse("planning:pool", args=[exam.pk]),
        ),
        Step(_("Draw"), _draw_told(exam), drawn, reverse("planning:draw", args=[exam.pk])),
    ]


def _draw_told(exam):
    if exam.state != State.DRAFT:
        return _("made; commitment %(start)s…") % {"start": exam.commitment[:12]}
    return _("sealed, not made yet") if exam.commitment else _("not sealed yet")
