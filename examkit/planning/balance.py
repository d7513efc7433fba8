"""How even a draw is, in whole numbers: 0 where nothing could be more even."""

from collections import Counter, defaultdict
from fractions import Fraction
from math import ceil, floor

ALIKE = 25  # hundredths of a bit: mean difficulties that lie so close count as alike


def shares(plan):
    """The fair share of each salt in the whole exam (a fraction): equal, but never more than its stock."""
    most = {choice.salt: choice.most for choice in plan.pool}
    left, share = Fraction(len(plan.entrants)), {}
    order = sorted(most, key=lambda salt: (most[salt] is None, most[salt] or 0, salt))
    for place, salt in enumerate(order):
        level = left / (len(order) - place)
        share[salt] = level if most[salt] is None else min(level, Fraction(most[salt]))
        left -= share[salt]
    return share


def limits(share):
    """The whole numbers next to a share, below and above."""
    return floor(share), ceil(share)


def outside(number, share):
    """How far a number lies outside the whole numbers next to its share."""
    low, high = limits(share)
    return max(0, low - number, number - high)


def unlike(total, size, total_of_all, size_of_all):
    """How far a part's mean difficulty lies beyond ALIKE from the mean of all, in hundredths of a bit."""
    if not size:
        return 0
    apart = abs(total * size_of_all - total_of_all * size)
    return max(0, -(-apart // (size * size_of_all)) - ALIKE)


def measures(plan, seats):
    """The imbalance of a draw by what is balanced; each 0 where nothing could be more even."""
    share, everybody = shares(plan), len(seats)
    group_of = {one.number: one.group for one in plan.entrants}
    difficulty = {choice.salt: choice.difficulty for choice in plan.pool}
    by_hall, by_group = defaultdict(Counter), defaultdict(Counter)
    for seat in seats:
        by_hall[seat.sitting][seat.salt] += 1
        by_group[group_of[seat.number]][seat.salt] += 1
    exam = Counter(seat.salt for seat in seats)
    total = sum(difficulty[seat.salt] for seat in seats)

    def uneven(parts):
        return sum(
            outside(counted[salt], share[salt] * counted.total() / everybody)
            for counted in parts for salt in share
        )

    def unequal(parts):
        return sum(
            unlike(sum(difficulty[s] * n for s, n in counted.items()), counted.total(), total, everybody)
            for counted in parts
        )

    groups = by_group.values() if len(by_group) > 1 else ()
    return {
        "salts": sum(outside(exam[salt], share[salt]) for salt in share),
        "salts in sittings": uneven(by_hall.values()),
        "cations in sittings": _cations(plan, share, by_hall.values(), everybody),
        "difficulty of sittings": unequal(by_hall.values()),
        "salts in groups": uneven(groups),
        "difficulty of groups": unequal(groups),
    }


def _cations(plan, share, halls, everybody):
    """The same for each set of cations in each sitting."""
    return sum(
        outside(sum(counted[s] for s in salts), sum(share[s] for s in salts) * counted.total() / everybody)
        for counted in halls for salts in same_cations(plan.pool)
    )


def same_cations(pool):
    """The salts of a pool by equal cations."""
    salts = defaultdict(list)
    for choice in pool:
        salts[tuple(sorted(choice.cations))].append(choice.salt)
    return list(salts.values())
