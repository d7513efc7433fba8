"""What is in which vessel: fractions that a reagent splits into a precipitate and a centrifugate.

A scheme names its fractions. Every walk starts with one, `solution`; a stage takes one (`takes`) and leaves
two (`precipitate`, `solution`), so group separation and the work-up of each precipitate are one mechanism.
What no solvent dissolved stands beside it from the beginning, as the fraction `insoluble residue`.
"""

from dataclasses import dataclass, replace

START = "solution"
LEFT = "insoluble residue"


@dataclass(frozen=True)
class Fraction:
    """The ions in one vessel; `solid` where they are a precipitate that was washed."""

    cations: tuple[str, ...]
    anions: tuple[str, ...] = ()
    solid: bool = False

    @property
    def ions(self):
        """All ions in the vessel."""
        return self.cations + self.anions

    def treated(self, stage):
        """The fraction after what is done before the test: ions changed (iron oxidised), anions removed.

        An anion may become a cation: chromate that was reduced is chromium(III) from there on.
        """
        reduced = [stage.becomes[ion] for ion in self.anions if ion in stage.becomes]
        cations = dict.fromkeys([*(stage.becomes.get(ion, ion) for ion in self.cations), *reduced])
        return replace(
            self,
            cations=tuple(cations),
            anions=tuple(ion for ion in self.anions if ion not in (*stage.removes, *stage.becomes)),
        )


def start(cations, anions, left=()):
    """The rack at the beginning: the original solution, and what nothing dissolved."""
    residue = {LEFT: Fraction(tuple(left), (), True)} if left else {}
    return {START: Fraction(tuple(cations), tuple(anions))} | residue


def taken(rack, stage):
    """The fraction that a stage works on, treated as the stage says, or None where nothing led to it."""
    fraction = rack.get(stage.takes)
    return fraction and fraction.treated(stage)


def after(kb, rack, stage, fraction):
    """The rack when the reagent of a stage has acted: the fraction it took is gone, what it left is there."""
    precipitate, solution = split(kb, stage.test, fraction)
    left = {name: kept for name, kept in rack.items() if name != stage.takes}
    solid_name, liquid_name = names_left(stage, fraction.solid)
    if precipitate.cations:
        left[solid_name] = precipitate
    if solution.cations or stage.takes == START:
        left[liquid_name] = solution
    return left


def names_left(stage, solid):
    """The names of the precipitate and of the solution that a stage leaves, of a solid or a liquid."""
    liquid = stage.solution or (stage.takes if not solid else f"{stage.test}: solution")
    return stage.precipitate or f"{stage.test}: precipitate", liquid


def split(kb, test, fraction):
    """Precipitate and centrifugate after a reagent: each cation falls, dissolves, or stays as it was."""
    solid, dissolved = [], []
    taken_along = set(_taken_along(kb, test, fraction))
    for ion in fraction.cations:
        fact = kb.ions[ion].facts.get((test, "tube"))
        falls, rises = throws_down(fact) or ion in taken_along, brings_up(fact)
        part = fact is not None and fact.leaves == "part"
        if falls or (fraction.solid and not rises) or (rises and part):
            solid.append(ion)
        if rises or (not fraction.solid and not falls) or (falls and part):
            dissolved.append(ion)
    return Fraction(tuple(solid), (), True), Fraction(tuple(dissolved), fraction.anions, False)


def _taken_along(kb, test, fraction):
    """The cations that an anion throws down here: calcium with phosphate, in the hydroxide group."""
    for anion in fraction.anions:
        fact = kb.ions[anion].facts.get((test, "tube"))
        for other in fact.when if fact else ():
            if any(o.event == "precipitate" and o.product != "S" for o in other.seen):
                yield from (ion for ion in other.present if ion in fraction.cations)


def throws_down(fact):
    """Whether a fact of a group test is that group's precipitate (sulfur from an oxidant is not one)."""
    return fact is not None and any(o.event == "precipitate" and o.product != "S" for o in fact.seen)


def brings_up(fact):
    """Whether a fact says that the ion goes into solution."""
    return fact is not None and not throws_down(fact) and any(o.event == "dissolves" for o in fact.seen)


def reached(kb, scheme, ion, test):
    """The form in which one cation alone reaches a test of the scheme, dissolved or not, or None."""
    rack = start((ion,), (), (ion,))
    for stage in scheme.stages:
        if kb.tests[stage.test].portion != "tube":
            continue
        fraction = taken(rack, stage)
        if stage.test == test.id:
            return fraction.cations[0] if fraction and fraction.cations else None
        if fraction:
            rack = after(kb, rack, stage, fraction)
    return None
