"""A second, independent look at an observation: is everything named that decides, and nothing that competes?

Read are the words alone, each with whether its part of the sentence denies it (`grading.reading.heard`): no
grammar, so that a sentence built oddly is understood as long as its words are. The look says how much of the
line's marks that would earn, or that it cannot say.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from examkit.chemistry.colours import tinted
from grading.reading.drafts import GASEOUS
from grading.reading.observation import read_observation
from grading.scoring.bag import bag_of
from grading.scoring.decides import SOLID, Decides
from grading.scoring.fit import colour_fit
from grading.scoring.judge import DRY, FULL, NIL
from grading.scoring.parts import MILKY, smells


@dataclass(frozen=True)
class View:
    """What the look says: a share, or None where it cannot say, and why."""

    share: Fraction | None
    why: str = ""
    rival: bool = False  # whether something is named that competes with what is expected


TWO_LOOKS = "the words by themselves would earn another mark"  # what is told where the two looks differ
CANNOT = View(None, "nothing tells")


def from_above(judge, line, reading, facets, elsewhere=(), present=()):
    """The share that the words of a reading earn by what they name, or None where they do not tell.

    Of several ions of one kind each may need a confirmation of its own: there it cannot tell.
    """
    several = len({judge.kb.ions[ion].kind for ion in present}) < len(present)
    if not reading.heard or reading.aimed or (several and judge.is_confirmation(line["test"])):
        return CANNOT
    return _Look(judge, line, facets, bag_of(reading.heard), elsewhere).view()


class _Look(Decides):
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
            return View(None, rival, rival=True)
        shown = [facet for facet in self.facets if facet.positive]
        told = self._told(shown or [f for f in self.facets if any(o.seen for o in f.everything)])
        if told == FULL and self._dissolves(False, {o.event for o in self.everything} - {"none"}):
            return CANNOT  # neither here nor there where it falls only
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

    def _beside(self):
        """What the knowledge base mentions beside the outcomes."""
        return [_bag_beside(self.judge.words, o.also_seen) for o in self.everything if o.also_seen]

    def _only_gases(self):
        return self.events <= set(GASEOUS)

    def _gases(self):
        known = {o.gas for o in (*self.everything, *self.elsewhere)}
        known |= {name for o in self.everything if o.smell for name in smells(self.judge, o.smell)}
        known |= {gas for bag in self._beside() for gas in (*bag.gases, *bag.reagent_gases)}
        return known | self.judge.gases_added(self.test)

    # What competes

    def _rival(self):
        return self._other_colour() or self._other_gas() or self._contrary()

    def _other_colour(self):
        fine = [o.colours for o in self.everything if o.colours]
        fine += [(named.word,) for bag in self._beside() for named in bag.colours]
        for named in self.colours:
            of = self._gas_colours() if self._of_gas(named) else fine
            if not self._passed(named) and not any(colour_fit(self.judge, named.word, c) for c in of):
                return f"{named.word} is not expected"
        return ""

    def _of_gas(self, named):
        """Whether a colour is said of a gas, and of nothing else in its part of the sentence."""
        events = self.bag.events
        return named.part in events.get(GASEOUS[0], ()) and not any(
            named.part in events.get(e, ()) for e in SOLID
        )

    def _gas_colours(self):
        """The colours that a gas may have here: those expected, those beside, that of mist."""
        fine = [o.colours for o in self.everything if o.event in GASEOUS and o.colours]
        fine += [(named.word,) for bag in self._beside() for named in bag.colours]
        return [*fine, self.judge.words.deeds[MILKY]]

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
        if (
            silent
            and fallen
            and tinted(self.judge.kb, named.word)
            and not (bag.solid or SOLID & bag.events.keys())
        ):
            return True  # "no ppt, merely bluish": it is the liquid
        of_gas = any(part in bag.events.get(event, ()) for event in GASEOUS)
        return self._only_gases() and silent and not of_gas

    def _other_gas(self):
        if not any(o.event in GASEOUS for o in self.everything):
            smoke = any(o.event == "sublimate" for o in self.everything)  # a sublimate on its way
            smoke = smoke or any(GASEOUS[0] in bag.events for bag in self._beside())
            told = any(map(self._gas_coloured, self.bag.events.get("gas", ()))) and not smoke
            return "a gas is told of" if told else ""
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
        burning = any("flame" in beside.events for beside in self._beside())
        if "flame" in bag.events and "flame" not in events and not burning:
            return "a flame is told of"
        if "none" in events and self._dissolves(dry, events):
            return "it dissolves"
        return ""

    def _dissolves(self, dry, events):
        """Whether something is said to dissolve where nothing that is expected does."""
        told = "dissolves" in self.bag.events and "dissolves" not in events
        return told and not (dry or self._alternatives())


@cache
def _bag_beside(words, also_seen):
    """The words in which the knowledge base tells what may be seen beside an outcome."""
    return bag_of(read_observation(words, also_seen).heard)
