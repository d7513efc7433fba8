"""A pool suggested for an exam: what is chosen, and for every other salt why it is not."""

from dataclasses import dataclass
from functools import lru_cache

from django.utils.translation import gettext as _

from examkit.chemistry.formula import pretty
from examkit.chemistry.worth import difficulty
from examkit.knowledge import knowledge
from examkit.planning.selectors.ceiling import above_ceiling
from examkit.planning.selectors.comparison import difficulties
from examkit.planning.selectors.draw import samples_on_shelf
from examkit.planning.selectors.expected import course_of, pairs_of
from examkit.planning.selectors.pool import offered
from examkit.planning.suggest import Option, suggest

USUAL_NUMBER = 12


@dataclass(frozen=True)
class Line:
    """A salt of the scheme: whether it is in, its difficulty in bits, and the reasons.

    `bits` is among all that may be chosen, `bits_here` among the salts of the suggested pool alone.
    """

    formula: str
    shown: str
    name: str
    chosen: bool
    bits: float | None
    why: tuple[str, ...]
    bits_here: float | None = None


@dataclass(frozen=True)
class Suggestion:
    """A pool suggested, with a line for every salt of the scheme; proven: none better by this measure."""

    lines: tuple[Line, ...]
    wanted: int
    proven: bool
    free: int  # salts that may be chosen at all

    @property
    def formulas(self):
        """The formulas of the salts that are in."""
        return [line.formula for line in self.lines if line.chosen]

    @property
    def inside(self):
        """The lines of the salts that are in."""
        return [line for line in self.lines if line.chosen]

    @property
    def outside(self):
        """The lines of the salts that are not."""
        return [line for line in self.lines if not line.chosen]


def suggestion(exam, number=USUAL_NUMBER, in_stock=False, keep=False):
    """A pool of so many salts suggested for an exam's scheme, ceiling and shelf; `keep`: those chosen so far
    are in whatever speaks against them."""
    kb, offers = knowledge(exam.centre), offered(exam)
    formulas = [offer.formula for offer in offers]
    kept = frozenset(exam.pool.values_list("formula", flat=True)) & set(formulas) if keep else frozenset()
    against = _barred(exam, formulas, number, in_stock)
    barred = {formula: why for formula, why in against.items() if formula not in kept}
    free = tuple(sorted(formula for formula in formulas if formula not in barred))
    hard, alike, by_colour = _compared(kb, kb.schemes[exam.scheme], free)
    options = [
        Option(one, kb.salts[one].cations, kb.salts[one].anions, round(100 * hard[one].number),
               len(hard[one].marginal))
        for one in free
    ]
    chosen, proven = suggest(options, alike, by_colour, number, kept)
    told, here = _Told(kb, set(chosen), hard, alike, by_colour, kept, against), difficulties(exam, chosen)
    lines = [
        Line(one.formula, one.shown, one.name, one.formula in chosen,
             hard[one.formula].number if one.formula in hard else None,
             barred.get(one.formula) or told.why(one.formula),
             here[one.formula] / 100 if one.formula in here else None)
        for one in offers
    ]
    return Suggestion(tuple(lines), max(number, len(kept)), proven, len(free))


def _barred(exam, formulas, number, in_stock):
    """Why some salts may not be chosen at all: sentences by formula."""
    barred = {
        formula: [_("%(name)s (%(code)s) is above the ceiling") % {"name": name, "code": code}
                  for name, code in over]
        for formula, over in above_ceiling(exam, formulas).items()
    }
    needed = max(1, -(-exam.candidates.count() // number))
    for formula, held in (samples_on_shelf(exam, formulas) if in_stock else {}).items():
        if held < needed:
            barred.setdefault(formula, []).append(_("the shelf holds %(held)d samples of %(needed)d") % {
                "held": held, "needed": needed})
    return {formula: tuple(why) for formula, why in barred.items()}


@lru_cache(maxsize=20)
def _compared(kb, scheme, formulas):
    """Difficulty of each of these salts among them, and the pairs that nothing, or colour alone, parts."""
    courses = [course_of(kb, scheme, one) for one in formulas]
    pairs = pairs_of(kb, scheme, formulas)
    stage_of = {test: kb.tests[test].stage for test in (courses[0].tests if courses else ())}
    hard = {one.name: difficulty(kb, stage_of, courses, pairs, one) for one in courses}
    return hard, tuple(frozenset((pair.one, pair.other)) for pair in pairs if pair.first is None), tuple(
        frozenset((pair.one, pair.other)) for pair in pairs if pair.by_colour_alone)


class _Told:
    """Why each salt that may be chosen is in or out."""

    def __init__(self, kb, chosen, hard, alike, by_colour, kept, against):
        self.kb, self.chosen, self.hard, self.alike, self.by_colour = kb, chosen, hard, alike, by_colour
        self.kept, self.against = kept, against
        self.range = [hard[one].number for one in chosen]
        self.cations = {ion for one in chosen for ion in kb.salts[one].cations}

    def why(self, formula):
        """The reasons as sentences."""
        return tuple(self._inside(formula) if formula in self.chosen else self._outside(formula))

    def _inside(self, formula):
        hard = self.hard[formula]
        if formula in self.kept:
            yield _("chosen before, and kept")
            yield from self.against.get(formula, ())
        if rivals := self._with(formula, self.alike):
            yield _("no test tells it from %(salts)s") % {"salts": rivals}
        else:
            yield _("told from every other one")
        if hard.marginal:
            yield self._marginal(hard)
        else:
            yield _("clear in every test")
        if rivals := self._with(formula, self.by_colour):
            yield _("by colour alone from %(salts)s") % {"salts": rivals}

    def _outside(self, formula):
        hard, found = self.hard[formula], False
        if rivals := self._with(formula, self.alike):
            found = True
            yield _("no test tells it from %(salts)s") % {"salts": rivals}
        if hard.marginal:
            found = True
            yield self._marginal(hard)
        if self.range and not min(self.range) <= hard.number <= max(self.range):
            found = True
            harder = hard.number > max(self.range)
            yield _("harder than the others") if harder else _("easier than the others")
        if set(self.kb.salts[formula].cations) <= self.cations:
            found = True
            yield _("its cation is in the pool already")
        if rivals := self._with(formula, self.by_colour):
            found = True
            yield _("by colour alone from %(salts)s") % {"salts": rivals}
        if not found:
            yield _("as good as others, but not needed")

    def _marginal(self, hard):
        titles = ", ".join(self.kb.tests[test].title for test in hard.marginal)
        return _("marginal at these amounts: %(tests)s") % {"tests": titles}

    def _with(self, formula, pairs):
        others = {other for pair in pairs if formula in pair for other in pair} & self.chosen - {formula}
        return ", ".join(pretty(one) for one in sorted(others))
