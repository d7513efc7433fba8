"""Identification: which specimens fit a whole record, and at which line each other one was ruled out."""

from dataclasses import dataclass

from examkit.chemistry.backwards import by_facet, fits
from examkit.chemistry.bench import steps
from examkit.chemistry.equilibria.near import doubtful
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.specimen import Part, Specimen


@dataclass(frozen=True)
class Verdict:
    """Whether a specimen fits a record; if not, what ruled it out, and what it would have shown there."""

    specimen: Specimen
    test: str = ""
    facet: str = ""
    would_show: tuple[Outcome, ...] = ()

    @property
    def fits(self):
        """Whether nothing in the record speaks against it."""
        return not self.test


def salts_of_syllabus(kb, scheme):
    """One specimen for each salt whose ions are all in the syllabus."""
    syllabus = {*scheme.cations, *scheme.anions}
    salts = (salt for salt in kb.salts.values() if syllabus.issuperset(salt.ions))
    return tuple(Specimen((Part(salt, scheme.grams),)) for salt in salts)


def identify(kb, scheme, observed, specimens=None):
    """A Verdict for each specimen (by default every salt of the syllabus), those that fit first.

    `observed` maps a test to its (facet, Outcome) pairs, as read from a record; a missing line says nothing.
    """
    tried = salts_of_syllabus(kb, scheme) if specimens is None else specimens
    verdicts = (verdict(kb, scheme, observed, specimen) for specimen in tried)
    return tuple(sorted(verdicts, key=lambda v: not v.fits))


def verdict(kb, scheme, observed, specimen):
    """Whether one specimen fits the record, or the first line that speaks against it."""
    for visit in steps(kb, scheme, specimen):
        if not visit.done:
            continue
        shown = {sight.facet: sight for sight in visit.sights}
        for facet, outcomes in by_facet(visit.test, observed.get(visit.test.id, ())):
            sight = shown.get(facet.key)
            if sight is None or _may_be(kb, facet, outcomes, sight):
                continue
            if not _nothing_is_no_proof(kb, scheme, specimen, visit.test, facet, outcomes):
                return Verdict(specimen, visit.test.id, facet.key, sight.seen)
    return Verdict(specimen)


def _nothing_is_no_proof(kb, scheme, specimen, test, facet, outcomes):
    """Whether nothing was seen where this specimen's own amounts may show nothing (solved on demand only)."""
    silent = not any(outcome.seen for outcome in outcomes)
    return silent and (test.id, facet.key) in doubtful(kb, scheme, specimen)


def _may_be(kb, facet, outcomes, sight):
    """Whether this is what the specimen shows, or another accepted outcome, or marginally nothing."""
    options = [sight.seen, *(other.seen for other in sight.also)]
    if sight.margin == "marginal":
        options.append(tuple(Outcome("none", step=step) for step in facet.steps) or (Outcome("none"),))
    return any(fits(kb, facet, outcomes, option) for option in options)
