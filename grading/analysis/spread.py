"""How a group of marks lies: number, mean, standard deviation, median, range."""

from dataclasses import dataclass
from math import sqrt


@dataclass(frozen=True)
class Spread:
    """Number, mean, sample standard deviation (n - 1; None for fewer than two), median, least and most."""

    n: int
    mean: float
    sd: float | None
    median: float
    least: float
    most: float


def spread(values):
    """The spread of some numbers; None where there are none.

    >>> spread([2, 4, 4, 4, 5, 5, 7, 9]).mean, round(spread([2, 4, 4, 4, 5, 5, 7, 9]).sd, 4)
    (5.0, 2.1381)
    """
    ordered = sorted(values)
    if not ordered:
        return None
    mean = sum(ordered) / len(ordered)
    return Spread(len(ordered), mean, _sd(ordered, mean), _median(ordered), ordered[0], ordered[-1])


def _sd(values, mean):
    if len(values) < 2:
        return None
    return sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))


def _median(ordered):
    half, odd = divmod(len(ordered), 2)
    return ordered[half] if odd else (ordered[half - 1] + ordered[half]) / 2
