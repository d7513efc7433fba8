"""Specimens tried at the bench: what is seen, accepted, remarked and warned of, test by test."""

from functools import cache

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.sight import Portion, look
from examkit.chemistry.specimen import read_specimen

KB = load()


@cache
def record(specimen, scheme="mixture"):
    """The expected lines of a specimen, by test."""
    return {line.test: line for line in expect(KB, read_specimen(KB, specimen), scheme).lines}


def line(specimen, test, scheme="mixture"):
    """One line of the record: its observation, or None where the test is not done."""
    return record(specimen, scheme)[test].observation


def shown(specimen, test, facet="tube", scheme="mixture"):
    """The outcomes that are seen in one facet of a test."""
    return tuple(outcome for key, outcome in line(specimen, test, scheme).seen if key == facet and outcome.seen)


def colours(specimen, test, facet="tube", scheme="mixture"):
    """The most usual colour word at each step where something is seen."""
    return [outcome.colours[0] for outcome in shown(specimen, test, facet, scheme) if outcome.colours]


def gases(specimen, test, facet="gas", scheme="mixture"):
    """The gases that are seen."""
    return {outcome.gas for outcome in shown(specimen, test, facet, scheme) if outcome.gas}


def accepted(specimen, test, scheme="mixture"):
    """The texts that are accepted beside what is expected."""
    return " | ".join(item["text"] for item in line(specimen, test, scheme).also_accepted)


def told(specimen, test, scheme="mixture"):
    """What is remarked, and what else is seen beside the main thing."""
    here = line(specimen, test, scheme)
    return " | ".join([*here.remarks, *(outcome.also_seen or "" for _facet, outcome in here.seen)])


def alone(ions, test, facet):
    """What ions show together in one facet, as they would after a separation."""
    sights = {sight.facet: sight for sight in look(KB, KB.tests[test], Portion(tuple(ions)))}
    return tuple(outcome for outcome in sights[facet].seen if outcome.seen)


def behaviour(ion, test):
    """`stays` or `dissolves` for an ion's precipitate in an excess of a reagent; None where none falls."""
    seen = KB.ions[ion].facts[test, "tube"].seen if (test, "tube") in KB.ions[ion].facts else ()
    if not any(outcome.event == "precipitate" and outcome.step == "drops" for outcome in seen):
        return None
    return "dissolves" if any(o.event == "dissolves" and o.step == "excess" for o in seen) else "stays"


def salts_of(ion):
    """Formulas of the salts of the base that hold an ion."""
    return [salt.formula for salt in KB.salts.values() if ion in salt.ions]
