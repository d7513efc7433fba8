"""A second, independent look at an observation: is everything named that decides, and nothing that competes?

Read are the words alone, each with whether its part of the sentence denies it (`grading.reading.heard`): no
grammar, so that a sentence built oddly is understood as long as its words are. The look says how much of the
line's marks that would earn, or that it cannot say.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from grading.reading.drafts import GASEOUS
from grading.reading.findings import UNSTATED
from grading.scoring.bag import bag_of
from grading.scoring.fit import ADDING, COOLING, HEATING, NAMED_BY_TEST, colour_fit
from grading.scoring.judge import DRY, FULL, NIL, WITH_AID
from grading.scoring.parts import BURNING, smells
from grading.scoring.required import look_of

GONE = "decolourised"  # what happens to a colour that goes (words/deeds.yaml)
ODOURLESS = "none"  # as words/smells.yaml calls it
SOLID = frozenset({"precipitate", "residue", "sublimate", "bead"})
HALF = Fraction(1, 2)


@dataclass(frozen=True)
class View:
    """What the look says: a share, or None where it cannot say, and why."""

    share: Fraction | None
    why: str = ""


BY_WORDS = "all that decides is named, though the sentence was not understood in full"
TWO_LOOKS = "the words by themselves would earn another mark"
NAMED = "All that decides is named, and nothing else that competes with it."
CANNOT = View(None, "nothing tells")


def from_above(judge, line, reading, facets, elsewhere=(), present=()):
    """The share that the words of a reading earn by what they name, or None where they do not tell.

    Of several ions of one kind each may need a confirmation of its own: there it cannot tell.
    """
    several = len({judge.kb.ions[ion].kind for ion in present}) < len(present)
    if not reading.heard or reading.aimed or (several and judge.is_confirmation(line["test"])):
        return CANNOT
    return _Look(judge, line, facets, bag_of(reading.heard), elsewhere).view()


def both_looks(award, view):
    """The award of the reading by grammar beside the look from above.

    Where the reading only missed something that the words name, they count as it would have been read; where
    the two differ otherwise, the award stays and a person sees both.
    """
    if view.share is None or view.share == award.share:
        return award
    if view.share == FULL and award.unsaid:
        other = ((award.share, award.reason), *award.other)
        return replace(award, share=view.share, reason=NAMED, why=(*award.why, BY_WORDS), other=other[:1])
    if not award.share and view.share < FULL:
        return award
    seen = (view.share, f"By its words alone: {view.why or NAMED}")
    return replace(award, why=(*award.why, TWO_LOOKS), other=award.other or (seen,))


class _Look:
    """One line and the words written for it."""

    def __init__(self, judge, line, facets, bag, elsewhere):
        self.judge, self.bag, self.test = judge, bag, line["test"]
        self.rules = judge.marking.observation
        named = judge.facets_named(self.test, bag.reagents) if self._alternatives() else ()
        self.facets = [f for f in facets if f.facet in named] or facets
        self.everything = tuple(item for facet in self.facets for item in facet.everything)
        self.elsewhere, self.margin = elsewhere, line["margin"]
        self.events = judge.events_of(self.test)
        self.colours = [named for named in bag.colours if not self._of_other(named)]

    def _alternatives(self):
        return self.test in self.rules["any_facet"]

    def view(self):
        """What this look says."""
        rival = self._rival()
        if rival:
            return View(None, rival)
        shown = [facet for facet in self.facets if facet.positive]
        told = self._told(shown or [f for f in self.facets if any(o.seen for o in f.everything)])
        if told == FULL or (shown and self.margin != "marginal"):
            return View(told)
        return max(self._silent(), View(told), key=lambda view: view.share or NIL)

    # Nothing is to be seen

    def _silent(self):
        """It is said that nothing is seen, and nothing that would be seen is named."""
        bag = self.bag
        bare = any(named.word in self.judge.words.no_colour for named in self.colours)
        said = bag.nothing or bag.denying or bag.denied or bag.kept or bare
        seen = [word for word in self.colours if not self._passed(word)]
        if not self._only_gases() and (SOLID & bag.events.keys() or bag.solid):
            return CANNOT
        smelt = bag.smells or bag.gases or "smell" in bag.events
        named = bag.reagent_gases - self.judge.gases_added(self.test) if self._only_gases() else ()
        if set(GASEOUS) & self.events and (smelt or named):
            return CANNOT
        if bag.of_papers - bag.kept - bag.nothing - bag.denials:
            return CANNOT  # a paper that tells of a gas
        if seen or {"effervescence"} & bag.events.keys() or bag.gases - self._gases():
            return CANNOT
        return View(FULL) if said else View(NIL)

    def _only_gases(self):
        return self.events <= set(GASEOUS)

    def _gases(self):
        known = {o.gas for o in (*self.everything, *self.elsewhere)} - {None}
        return known | self.judge.gases_added(self.test)

    # What competes

    def _rival(self):
        return self._other_colour() or self._other_gas() or self._contrary()

    def _other_colour(self):
        fine = [o.colours for o in self.everything if o.colours]
        fine += [f.colours for o in self.everything if o.also_seen for f in self.judge.beside(o.also_seen)]
        for named in self.colours:
            if not self._passed(named) and not any(colour_fit(self.judge, named.word, c) for c in fine):
                return f"{named.word} is not expected"
        return ""

    def _of_other(self, named):
        """Whether a colour is said of what is not looked at here: a paper, a reagent, a burning gas."""
        bag, part = self.bag, named.part
        if self._of_paper(named) or (part in bag.headings and self._alternatives()):
            return True
        return part in bag.events.get("flame", ()) and "flame" not in self.events

    def _of_paper(self, named):
        gaseous = any(o.event in GASEOUS for o in self.everything) or self._only_gases()
        return gaseous and named.part in self.bag.of_papers and not named.before

    def _passed(self, named):
        """Whether a colour competes with none that is asked for, whatever it is."""
        bag, part = self.bag, named.part
        if named.before or named.word in self.judge.words.no_colour:
            return True
        silent = not any(facet.positive for facet in self.facets)
        if part in bag.of_liquids | bag.kept and (silent or self._only_gases()):
            return True
        fallen = self.judge.in_water(self.test) and "precipitate" in bag.denied
        if silent and fallen and not (bag.solid or SOLID & bag.events.keys()):
            return True  # "no ppt, merely bluish": it is the liquid
        of_gas = any(part in bag.events.get(event, ()) for event in GASEOUS)
        return self._only_gases() and silent and not of_gas

    def _other_gas(self):
        if not any(o.event in GASEOUS for o in self.everything):
            return "a gas is told of" if any(map(self._gas_coloured, self.bag.events.get("gas", ()))) else ""
        return next((f"{gas} is not expected" for gas in sorted(self.bag.gases - self._gases())), "")

    def _gas_coloured(self, part):
        """Whether a part that speaks of a gas tells its colour: one beside that of what falls."""
        fallen = part in self.bag.events.get("precipitate", ())
        return sum(named.part == part for named in self.colours) > fallen

    def _contrary(self):
        """Whether what is expected is denied, or nothing is said to be seen."""
        bag, events = self.bag, {o.event for o in self.everything}
        seen = events - {"none"}
        if not seen:
            return ""
        dry = (self.judge.kb.tests[self.test].stage in DRY) if self.test in self.judge.kb.tests else False
        if bag.nothing - bag.with_step and not dry and "none" not in events:
            return "nothing is said to be seen"
        if seen & SOLID & bag.denied and "none" not in events:
            return "it is denied"
        if any(colour_fit(self.judge, word, o.colours) for word in bag.denied for o in self.everything):
            return "a colour is denied"
        if "dissolves" in bag.events and "dissolves" not in events and "none" in events and not dry:
            return "it dissolves"
        return ""

    # What decides

    def _told(self, facets):
        """How much of what decides is named in these facets."""
        shares = [(f, max(self._option(f.facet, option) for option in f.options)) for f in facets]
        if not shares:
            return NIL
        if self._alternatives():
            return max(share for _facet, share in shares)
        optional = self.rules["optional_facets"].get(self.test, ())
        needed = [s for f, s in shares if f.facet not in optional and not (f.may_be_silent and not s)]
        needed = needed or [share for _facet, share in shares]
        return FULL if min(needed) == FULL else HALF if any(needed) else NIL

    def _option(self, facet, option):
        """How much of one accepted list of outcomes is named."""
        asked = self._asked(facet, option)
        if not asked:
            return FULL if self.bag.nothing else NIL
        told = [(self._outcome(facet, o, asked), look_of(o) or o.step) for o in asked]
        shares = sorted((share for share, _look in told), reverse=True)
        enough = self.rules["enough"].get(self.test, len(asked))
        looks = {look for share, look in told if share == FULL}
        every = enough == len(asked) or looks == {look for _share, look in told}
        full = shares[:enough][-1] == FULL and every
        return FULL if full else HALF if shares[0] else NIL

    def _asked(self, facet, option):
        """The outcomes that must be named."""
        optional, asked = {*self.rules["optional_steps"]}, []
        seen = {look_of(o) for o in option if o.seen}
        for o in option:
            if asked and optional & {o.step, f"{facet}.{o.step}"}:
                continue
            told = o.step in self.rules["nothing_counts_at"] or look_of(o) not in seen
            if o.seen or (asked and told):
                asked.append(o)
        return asked

    def _outcome(self, facet, o, asked):
        """FULL, HALF where something of it is left unsaid, NIL where it is not named."""
        if not o.seen:
            bare = facet in NAMED_BY_TEST and any(n.word in self.judge.words.no_colour for n in self.colours)
            said = "dissolves" in self.bag.denied or self.bag.nothing or self.bag.kept or bare
            return NIL if not said else FULL if self._placed(o, asked) else HALF
        colour = self._colour(facet, o)
        if not colour or not self._named(o, colour):
            return NIL
        if o.step in WITH_AID and not self._placed(o, asked):
            return NIL
        return FULL if colour == FULL and self._told_apart(o) and self._placed(o, asked) else HALF

    def _colour(self, facet, o):
        """FULL, a part, or NIL where only other colours are named; HALF where none is."""
        bare = all(word in self.judge.words.no_colour for word in o.colours)
        if not o.colours or (bare and o.event != UNSTATED and facet not in self.rules["colourless_counts"]):
            return FULL
        if bare and (GONE in self.bag.deeds or self.bag.lost):
            return FULL
        words = {named.word for named in self.colours} | self.bag.implied
        best = max((colour_fit(self.judge, word, o.colours) for word in words), default=NIL)
        return best or (NIL if self.colours else HALF)

    def _named(self, o, colour):
        """Whether what happens is named, or implied by its colour."""
        bag = self.bag
        if o.event in GASEOUS:
            named = bag.gases or o.gas in bag.reagent_gases or bag.smells or bag.papers
            return bool(named or set(GASEOUS) & bag.events.keys())
        if o.event in NAMED_BY_TEST:
            return bool(self.colours or o.event in bag.events)
        if o.event in SOLID:
            return bool(bag.events.keys() & SOLID or bag.solid or self._implied(o, colour))
        if o.event == "dissolves" and bag.of_liquids and o.colours and colour == FULL and o.step:
            return True  # "in excess a blue solution"
        return o.event in bag.events

    def _implied(self, o, colour):
        """Whether a colour alone means what falls: not one that a liquid has or that something turned."""
        mine = [named for named in self.colours if colour_fit(self.judge, named.word, o.colours) == FULL]
        plain = [n for n in mine if not (n.turned or n.before or n.part in self.bag.of_liquids)]
        if self._alternatives():
            return False  # the reagent may have it
        return colour == FULL and bool(plain) and self.judge.in_water(self.test)

    def _told_apart(self, o):
        """Whether a gas is told from others: by its name, its colour, its smell or a paper."""
        bag = self.bag
        if o.event not in GASEOUS or not o.gas or o.gas in bag.gases | bag.reagent_gases:
            return True
        if o.colours and not all(word in self.judge.words.no_colour for word in o.colours):
            return True
        signs, bare = bag.smells | bag.papers, self.judge.words.no_colour
        if signs - self.judge.words.general or (bag.smells and any(n.word in bare for n in self.colours)):
            return True
        if bag.odourless and o.smell and ODOURLESS in smells(self.judge, o.smell):
            return True
        beside = self.judge.beside(o.also_seen)
        if any(f.texture == BURNING or f.event == "flame" for f in beside) and "flame" in bag.events:
            return True
        beside = [f for f in beside if f.event in GASEOUS and f.colours]
        fumes = any(colour_fit(self.judge, n.word, f.colours) for n in self.colours for f in beside)
        return len(self.facets) > 1 and (fumes or len(signs) > 1)

    def _placed(self, o, asked):
        """Whether it is named when, or with what, where that matters."""
        if o is asked[0] or o.step in ADDING or (o.step not in WITH_AID and _alike(asked)):
            return True
        return self._step(o.step)

    def _step(self, step):
        bag, first = self.bag, step.split(" ")[0]
        if step in bag.steps or step in bag.reagents:
            return True
        if step in HEATING or step in COOLING:
            return bool((HEATING if step in HEATING else COOLING) & bag.steps)
        return first in ("oxidising", "reducing") and first in bag.steps


def _alike(asked):
    """Whether outcomes may look the same at every step, so that it need not be said when."""
    colours = [set(o.colours) for o in asked]
    return len({o.event for o in asked}) == 1 and (not any(colours) or bool(set.intersection(*colours)))
