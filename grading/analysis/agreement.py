"""How far two people agree who marked the same things: shares, and kappa with quadratic weights."""

from dataclasses import dataclass
from fractions import Fraction

ENOUGH = 20  # marks, before a share or a kappa says anything (common practice, no source)


@dataclass(frozen=True)
class Agreement:
    """Of `n` marks given twice: how many are the same, how many at most a step apart, how the second lean.

    `exact`, `near` and `kappa` are None where marks are too few; `kappa` also where all are alike.
    """

    n: int
    same: int
    close: int
    lean: int  # steps that the second gave more than the first, in all; less than 0: fewer
    exact: float | None = None
    near: float | None = None
    kappa: float | None = None


def agreement(pairs):
    """The agreement of (first steps, second steps, full steps) triples; kappa is over shares of full marks.

    >>> agreement([(2, 2, 2), (1, 0, 2)] * 10).exact, agreement([(2, 2, 2)]).exact
    (0.5, None)
    """
    pairs = list(pairs)
    n, apart = len(pairs), [abs(one - other) for one, other, _full in pairs]
    same, close = apart.count(0), sum(steps <= 1 for steps in apart)
    lean = sum(other - one for one, other, _full in pairs)
    if n < ENOUGH:
        return Agreement(n, same, close, lean)
    found = kappa([(Fraction(one, full), Fraction(other, full)) for one, other, full in pairs])
    return Agreement(n, same, close, lean, same / n, close / n, None if found is None else float(found))


def kappa(pairs):
    """Cohen's kappa with quadratic weights of pairs of numbers; None where nobody ever gave another mark.

    1 is full agreement, 0 what chance would give with marks given as often as these.

    >>> kappa([(0, 0), (1, 1), (2, 2)]), kappa([(0, 2), (2, 0)]), kappa([(1, 1)])
    (Fraction(1, 1), Fraction(-1, 1), None)
    """
    pairs = [(Fraction(one), Fraction(other)) for one, other in pairs]
    n = len(pairs)
    seen = sum((one - other) ** 2 for one, other in pairs)
    squares = sum(one**2 + other**2 for one, other in pairs)
    by_chance = n * squares - 2 * sum(one for one, _other in pairs) * sum(other for _one, other in pairs)
    return 1 - Fraction(n * seen, by_chance) if by_chance else None
