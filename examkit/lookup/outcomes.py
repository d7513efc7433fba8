"""What may be seen in a test at all: its outcomes over the syllabus, each with the ions that show it."""

from dataclasses import dataclass
from functools import lru_cache

from examkit.chemistry.backwards import by_facet, runs
from examkit.chemistry.describe import describe_test
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.knowledge.work import Facet


@dataclass(frozen=True)
class Possible:
    """One outcome of a facet, in words, with the ions and salts of the syllabus that show it."""

    facet: Facet
    seen: tuple[Outcome, ...]
    text: str
    ions: tuple[str, ...]
    salts: tuple[str, ...]

    @property
    def positive(self):
        """Whether anything is seen."""
        return any(outcome.seen for outcome in self.seen)

    @property
    def subjects(self):
        """The ions that show it when tried alone; where none does, the salts."""
        return self.ions or self.salts

    @property
    def pairs(self):
        """(facet key, Outcome) pairs, as an Observation has them."""
        return tuple((self.facet.key, outcome) for outcome in self.seen)


@lru_cache(maxsize=500)
def possible(kb, scheme, test):
    """Every outcome of a test over the syllabus: facet by facet, in the order of the ions."""
    groups = {}
    for facet in test.facets.values():
        for run in runs(kb, scheme, test, facet):
            groups.setdefault((facet.key, in_words(test, facet.key, run.seen)), []).append(run)
    return tuple(_possible(test.facets[key], text, group) for (key, text), group in groups.items())


def _possible(facet, text, group):
    ions = dict.fromkeys(run.ions[0] for run in group if run.alone)
    salts = dict.fromkeys(run.salt for run in group if run.salt)
    return Possible(facet, group[0].seen, text, tuple(ions), tuple(salts))


def in_words(test, facet, seen):
    """What is seen in one facet, in words."""
    return describe_test(test, [(facet, seen)])


def otherwise(kb, scheme, test, seen):
    """The other outcomes of the facets looked at; `seen` holds (facet key, Outcome) pairs."""
    shown = {facet.key: in_words(test, facet.key, outcomes) for facet, outcomes in by_facet(test, seen)}
    return tuple(
        other
        for other in possible(kb, scheme, test)
        if other.facet.key in shown and other.text != shown[other.facet.key]
    )
