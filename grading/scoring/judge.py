"""What judging needs at hand: the knowledge base, the vocabulary, both schemes."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from examkit.chemistry.knowledge.model import Knowledge, Outcome, Scheme
from grading.errors import GradingError
from grading.reading.lexicon import Lexicon, build
from grading.reading.observation import read_observation
from grading.scoring.mark_scheme import MarkScheme, mark_scheme

FULL, NIL = Fraction(1), Fraction(0)


@dataclass(frozen=True)
class Award:
    """A share of the marks with its reason; it is not sure where `why` names what a person should see."""

    share: Fraction
    reason: str
    read: str = ""
    why: tuple[str, ...] = ()
    carried: bool = False
    counts: bool = True  # whether it is marked at all

    @property
    def sure(self):
        """Whether no person need look."""
        return not self.why

    @property
    def fraction(self):
        """The share as a number from 0 to 1."""
        return round(float(self.share), 4)


@dataclass(frozen=True, eq=False)
class Judge:
    """Everything that stays the same from record to record."""

    kb: Knowledge
    words: Lexicon
    plan: Scheme
    marking: MarkScheme

    def weight(self, part):
        """The weight of a part of an observation."""
        return self.marking.partial[part]

    def beside(self, also_seen):
        """What is seen beside an outcome, read from the words of the knowledge base."""
        return _beside(self.words, also_seen or "")

    def effects(self, also_seen):
        """What an outcome does to papers."""
        return tuple(finding for finding in self.beside(also_seen) if finding.effect)

    def stage_of(self, test_id):
        """The entry of the scheme for a test, or None."""
        return next((stage for stage in self.plan.stages if stage.test == test_id), None)

    def group(self, numeral):
        """The cations of a group; a numeral without its letter means all groups of that numeral."""
        found = [
            ion
            for name, group in self.plan.groups.items()
            if name == numeral or (name.startswith(numeral) and name[len(numeral) :] in ("A", "B"))
            for ion in group["cations"]
        ]
        return frozenset(found)


@cache
def _beside(words, text):
    return read_observation(words, text).findings


@cache
def judge(kb, scheme_key, mark_scheme_key):
    """The judge for a scheme of analysis and a mark scheme.

    Raises GradingError for a scheme or mark scheme that is not there or cannot be used.
    """
    if scheme_key not in kb.schemes:
        raise GradingError(
            f"No scheme of analysis is called '{scheme_key}'. There are: {', '.join(kb.schemes)}."
        )
    return Judge(kb, build(kb), kb.schemes[scheme_key], mark_scheme(kb, mark_scheme_key))


def outcome(data):
    """An outcome of the frozen record as a record of the knowledge base."""
    return Outcome(
        event=data["event"],
        step=data.get("step") or "",
        colours=tuple(data.get("colours") or ()),
        texture=data.get("texture"),
        product=data.get("product"),
        gas=data.get("gas"),
        smell=data.get("smell"),
        also_seen=data.get("also_seen"),
    )


__all__ = ["FULL", "NIL", "Award", "Judge", "judge", "outcome"]
