"""What claims are held to: what an observation says of ions; and the share that they earn on it."""

from dataclasses import dataclass
from fractions import Fraction

from grading.reading.claims import OWN_GROUP
from grading.scoring.judge import FULL, NIL


@dataclass(frozen=True)
class Basis:
    """What an observation points to and rules out, the ions present, the group that the test answers."""

    points_to: frozenset
    rules_out: frozenset
    present: frozenset
    group: str = ""
    seen: bool = True
    gases: frozenset = frozenset()
    roughly: frozenset = frozenset()  # what it would point to if the shade did not count
    its_gases: frozenset = frozenset()  # what comes of the ions present in whatever test
    suits: frozenset = frozenset()  # ions named that by some account show it
    may_show: frozenset = frozenset()  # ions of which something may ever be seen in this test
    numerals: tuple = ()  # what other courses of analysis call the group
    exact: bool = False  # whether it is an observation that is just what is expected

    @property
    def says(self):
        """Whether anything can be inferred."""
        return bool(self.points_to or self.rules_out)


@dataclass(frozen=True)
class Verdict:
    """The share that claims earn on a basis, and why."""

    share: Fraction
    reason: str
    weak: str = ""  # what another examiner might see otherwise


def less(rule, right, wrong):
    """What is left of a right answer beside wrong ones."""
    if rule == "one of several halves":
        return Fraction(1, 2) if wrong <= right else NIL
    if rule == "cancels":
        return max(Fraction(right - wrong, right), NIL)
    return Fraction(1, 2) if rule == "halves" else FULL


def of_this_test(judge, basis, claim):
    """Whether a group is that of the test, by its own numeral or that of another course of analysis."""
    parts = (f"{claim.group}A", f"{claim.group}B")
    names = (OWN_GROUP, basis.group, *basis.numerals)
    return bool(claim.group and basis.group) and (claim.group in names or basis.group in parts)


def ions_of(judge, claim, basis=None):
    """The ions that a claim names: its own, or those of its group in this scheme."""
    if basis and basis.group and of_this_test(judge, basis, claim):
        return judge.group(basis.group)
    if claim.group == OWN_GROUP:
        return frozenset()
    return judge.group(claim.group) if claim.group else frozenset(claim.ions)


def quoted(claims):
    """What is claimed, in quotation marks."""
    return "“" + "; ".join(dict.fromkeys(claim.in_words() for claim in claims)) + "”"


def pointed(basis):
    """What the observation points to, in words."""
    return f"the observation points to {', '.join(sorted(basis.points_to)) or 'no ion'}"


def excluded(basis):
    """What the observation rules out, in words."""
    return f"the observation rules out {', '.join(sorted(basis.rules_out)) or 'no ion'}"
