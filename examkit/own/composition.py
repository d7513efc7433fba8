"""How many of each ion a formula holds: pure arithmetic over charges and elements."""

from collections import Counter
from fractions import Fraction
from itertools import product

from examkit.chemistry import formula

MOST = 6  # of one ion in a formula unit


def counts_of(text, ions):
    """{ion: count} that makes up the formula with its water; {} where no whole numbers do.

    >>> counts_of("Al2(SO4)3.18H2O", ("Al3+", "SO4^2-"))
    {'Al3+': 2, 'SO4^2-': 3}
    """
    wanted = Counter(dict(formula.parse(text).elements))
    water = Fraction(formula.water_of(text)).limit_denominator(12)
    wanted.subtract({"H": 2 * water, "O": water})
    parsed = [formula.parse(ion) for ion in ions]
    for counts in product(range(1, MOST + 1), repeat=len(ions)):
        if sum(n * ion.charge for n, ion in zip(counts, parsed, strict=True)):
            continue
        total = Counter()
        for n, ion in zip(counts, parsed, strict=True):
            for element, number in ion.elements:
                total[element] += n * number
        if {k: v for k, v in total.items() if v} == {k: v for k, v in wanted.items() if v}:
            return dict(zip(ions, counts, strict=True))
    return {}
