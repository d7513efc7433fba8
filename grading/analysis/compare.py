"""Whether groups of marks differ: the Kruskal-Wallis test by ranks, with the correction for ties."""

from collections import Counter
from dataclasses import dataclass
from math import erfc, exp, pi, sqrt


@dataclass(frozen=True)
class Comparison:
    """H with its degrees of freedom, p by chi-squared, and the effect size epsilon squared (0 to 1)."""

    H: float
    df: int
    p: float
    effect: float


def kruskal_wallis(groups):
    """Compare groups of numbers; None where that says nothing (fewer than two groups, or all alike).

    >>> found = kruskal_wallis([[1, 1, 1], [2, 2, 2], [2, 2]])
    >>> round(found.H, 6), found.df, round(found.p, 6)
    (7.0, 2, 0.030197)
    """
    groups = [list(group) for group in groups if group]
    pooled = [value for group in groups for value in group]
    if len(groups) < 2 or len(set(pooled)) < 2:
        return None
    n, ranks = len(pooled), _ranks(pooled)
    sums = (sum(ranks[value] for value in group) ** 2 / len(group) for group in groups)
    H = (12 / (n * (n + 1)) * sum(sums) - 3 * (n + 1)) / _ties(pooled)
    return Comparison(H, len(groups) - 1, chi_squared_tail(H, len(groups) - 1), H / (n - 1))


def chi_squared_tail(x, df):
    """The chance that chi-squared with `df` degrees of freedom is at least `x`.

    >>> [round(chi_squared_tail(x, df), 3) for x, df in ((3.841, 1), (5.991, 2), (7.815, 3), (9.488, 4))]
    [0.05, 0.05, 0.05, 0.05]
    """
    x = max(x, 0.0)
    odd = df % 2
    tail = erfc(sqrt(x / 2)) if odd else exp(-x / 2)
    term = sqrt(2 * x / pi) * exp(-x / 2) if odd else exp(-x / 2) * x / 2
    for step in range(4 - odd, df + 1, 2):  # two more degrees of freedom: one more term of the series
        tail += term
        term *= x / step
    return min(tail, 1.0)


def _ranks(pooled):
    """The mean rank of every value."""
    ranks, before = {}, 0
    for value, count in sorted(Counter(pooled).items()):
        ranks[value] = before + (count + 1) / 2
        before += count
    return ranks


def _ties(pooled):
    n = len(pooled)
    return 1 - sum(count**3 - count for count in Counter(pooled).values()) / (n**3 - n)
