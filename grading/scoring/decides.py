"""What decides a line, among the words of a text: which of the outcomes expected are named in full."""

from fractions import Fraction

from grading.reading.drafts import GASEOUS
from grading.reading.findings import UNSTATED
from grading.scoring.fit import ADDING, COOLING, HEATING, NAMED_BY_TEST, colour_fit
from grading.scoring.judge import FULL, NIL, WITH_AID
from grading.scoring.parts import BURNING, smells
from grading.scoring.required import look_of

GONE = "decolourised"  # what happens to a colour that goes (words/deeds.yaml)
ODOURLESS = "none"  # as words/smells.yaml calls it
SOLID = frozenset({"precipitate", "residue", "sublimate", "bead"})
HALF = Fraction(1, 2)


class Decides:
    """The half of the look from above that asks for what is expected."""

    def _told(self, facets):
        """How much of what decides is named in these facets."""
        shares = [(f, self._facet(f)) for f in facets]
        if not shares:
            return NIL
        if self._alternatives():
            return max(share for _facet, share in shares)
        optional = self.rules["optional_facets"].get(self.test, ())
        needed = [s for f, s in shares if f.facet not in optional and not (f.may_be_silent and not s)]
        needed = needed or [share for _facet, share in shares]
        return FULL if min(needed) == FULL else HALF if any(needed) else NIL

    def _facet(self, facet):
        """How much of the accepted list that is named best."""
        best = NIL
        for option in facet.options:
            share = self._option(facet.facet, option)
            if share is FULL:
                return FULL
            best = share or best
        return best

    def _option(self, facet, option):
        """How much of one accepted list of outcomes is named."""
        asked = self._asked(facet, option)
        if not asked:
            return FULL if self.bag.nothing else NIL
        told = [(self._outcome(facet, o, asked), look_of(o) or o.step) for o in asked]
        full = [look for share, look in told if share is FULL]
        enough = self.rules["enough"].get(self.test, len(asked))
        every = enough == len(asked) or set(full) == {look for _share, look in told}
        if len(full) >= enough and every:
            return FULL
        return HALF if any(share for share, _look in told) else NIL

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
            nothing = self.bag.nothing & self.bag.with_step if o.step else self.bag.nothing
            said = "dissolves" in self.bag.denied or nothing or self.bag.kept or bare
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
        if bare and self._gone():
            return FULL
        words = {named.word for named in self.colours} | self.bag.implied
        best = NIL
        for word in words:
            fit = colour_fit(self.judge, word, o.colours)
            if fit is FULL:
                return FULL
            best = max(best, fit)
        return best or (NIL if self.colours else HALF)

    def _gone(self):
        """Whether a colour is said to go."""
        return GONE in self.bag.deeds or self.bag.lost or (self.colours and "dissolves" in self.bag.events)

    def _named(self, o, colour):
        """Whether what happens is named, or implied by its colour."""
        bag = self.bag
        if o.event in GASEOUS:
            named = bag.gases or o.gas in bag.reagent_gases or bag.smells or bag.papers
            return bool(named or set(GASEOUS) & bag.events.keys())
        if o.event in NAMED_BY_TEST:
            return bool(self.colours or o.event in bag.events or self._gone())
        if o.event in SOLID:
            return bool(bag.events.keys() & SOLID or bag.solid or self._implied(o, colour))
        if o.event == "dissolves" and bag.of_liquids and o.colours and colour == FULL and o.step:
            return True  # "in excess a blue solution"
        affirmed = bag.affirmed and self.events == {o.event} and not bag.denying
        return o.event in bag.events or affirmed

    def _implied(self, o, colour):
        """Whether a colour alone means what falls: not one that a liquid has or that something turned."""
        mine = [named for named in self.colours if colour_fit(self.judge, named.word, o.colours) == FULL]
        plain = [n for n in mine if not (n.turned or n.before or n.part in self.bag.of_liquids)]
        told = self.judge.in_water(self.test) and bool(plain) and colour == FULL
        if not self._alternatives():
            return told
        mentioned = self.bag.reagents or self.bag.papers  # else it may be the reagent's colour
        return told and bool(mentioned) and not any(n.part in self.bag.sighted for n in plain)

    def _told_apart(self, o):
        """Whether a gas is told from others: by its name, its colour, its smell or a paper."""
        bag = self.bag
        if o.event not in GASEOUS or not o.gas or o.gas in bag.gases | bag.reagent_gases:
            return True
        if o.colours and not all(word in self.judge.words.no_colour for word in o.colours):
            return True
        signs, bare = bag.smells | bag.papers, any(n.word in self.judge.words.no_colour for n in self.colours)
        if (signs & self._signs(o)) - self.judge.words.general or (bag.smells and bare):
            return True
        if bag.odourless and o.smell and ODOURLESS in smells(self.judge, o.smell):
            return True
        beside = self.judge.beside(o.also_seen)
        if any(f.texture == BURNING or f.event == "flame" for f in beside) and "flame" in bag.events:
            return True
        beside = [f for f in beside if f.event in GASEOUS and f.colours]
        fumes = any(colour_fit(self.judge, n.word, f.colours) for n in self.colours for f in beside)
        return len(self.facets) > 1 and (fumes or len(signs) > 1)

    def _signs(self, o):
        """The smells and papers that this gas is known by."""
        papers = {effect.effect for effect in self.judge.effects(o.also_seen)}
        return papers | (smells(self.judge, o.smell) if o.smell else set())

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
