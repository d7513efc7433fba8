"""How far a weighed tube may be from the sample that is meant; pure sums."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from examkit.stockroom.amounts import BALANCE_g, exact

SHARE = Decimal("0.05")  # either way; common practice: the work is qualitative, but all get alike
LEAST_g = Decimal("0.02")  # two marks of the balance


@dataclass(frozen=True)
class Range:
    """From so many grams to so many grams."""

    low_g: Decimal
    high_g: Decimal

    def holds(self, mass_g):
        """Whether a mass (g) lies in it."""
        return self.low_g <= exact(mass_g) <= self.high_g


def tolerance(tube_g):
    """The range (g) in which a tube of `tube_g` is right: 5 % either way, at least 0.02 g.

    >>> tolerance(Decimal("1.50"))
    Range(low_g=Decimal('1.43'), high_g=Decimal('1.57'))
    """
    by = max(exact(tube_g) * SHARE, LEAST_g)
    low = (tube_g - by).quantize(BALANCE_g, ROUND_CEILING)
    return Range(low, (tube_g + by).quantize(BALANCE_g, ROUND_FLOOR))
