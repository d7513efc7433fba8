"""Where the table of reactions and the calculation differ, with the numbers, and what was settled."""

from dataclasses import dataclass

from examkit.chemistry.equilibria.margin import Margin
from examkit.chemistry.equilibria.settled import settled_for
from examkit.chemistry.equilibria.table import table
from examkit.chemistry.knowledge.equilibrium import Settled
from examkit.chemistry.vessel import staged


@dataclass(frozen=True)
class Disagreement:
    """One ion at one step of a test: what the table says, what was calculated."""

    test: str
    facet: str
    step: str
    ion: str
    seen: bool  # the table has a precipitate there
    kind: str  # opposite | marginal (the table gives as clear what is near the limit)
    margin: Margin
    settled: Settled | None = None

    def __str__(self):
        says = "a solid" if self.seen else "no solid"
        place = f"{self.test}.{self.facet}, {self.step}" if self.step else f"{self.test}.{self.facet}"
        end = f" Settled: {self.settled.why}" if self.settled else " Not settled."
        found = f"calculated {self.margin.state} ({self.margin.note})"
        return f"{place}: {self.ion}: the table has {says}, {found}.{end}"


def disagreements(kb, scheme):
    """Every disagreement of a scheme, ions alone and in the smallest amount that a salt gives."""
    found = []
    for (test, facet, step), row in table(kb, scheme).items():
        solid = (test, facet, step) in _solids(kb, scheme)
        in_tube = kb.tests[test].portion == "tube"  # what earlier groups left of an ion may be too little
        for ion, (form, margin) in row.items():
            seen, sure = says(kb, test, facet, step, form, solid)
            kind = "" if in_tube and margin.trace else _kind(seen, sure, margin)
            if kind:
                settled = settled_for(kb, test, facet, step, ion, form)
                found.append(Disagreement(test, facet, step, ion, seen, kind, margin, settled))
    return tuple(found)


def _solids(kb, scheme):
    """The (test, facet, step) whose tube began with a precipitate of an earlier stage."""
    return {(look.test, look.facet, look.step) for _stage, looks in staged(kb, scheme) for look in looks
            if look.vessel.solid and not look.vessel.residue}


def unsettled(kb, scheme):
    """The disagreements that nobody has settled by a source or a note."""
    return tuple(item for item in disagreements(kb, scheme) if item.settled is None)


def says(kb, test_id, facet, step, form, solid=False):
    """Whether the table has a solid of an ion at a step, and whether it calls that clear.

    `solid`: the test begins with a precipitate, which stays unless a fact says that it dissolves.
    """
    fact = kb.ions[form].facts.get((test_id, facet))
    if fact is None:
        return solid, True
    there = solid
    for here in kb.tests[test_id].facets[facet].steps or ("",):
        events = [o for o in fact.seen if o.step in ("", here)]
        if any(o.event == "precipitate" and o.product != "S" for o in events):
            there = True
        elif any(o.event == "dissolves" for o in events):
            there = False
        if here == step:
            break
    return there, fact.margin == "clear"


def _kind(seen, sure, margin):
    if seen != margin.forms and margin.state != "marginal":
        return "opposite"
    return "marginal" if margin.state == "marginal" and sure else ""
