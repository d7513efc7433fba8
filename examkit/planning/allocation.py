"""The draw: a sitting, a bench and a salt for every candidate; same plan and seed, same draw.

Kept in this order: what must never be (equal or marked salts on neighbouring benches, a salt that a candidate
must not have, more samples than the stock allows, the same salt on a bench in sittings close in time); never
a cation on two neighbouring benches, where the pool allows; then balance; everything else is chance. Small
steps first (sittings, counts, then the benches of each sitting, then people); where they find no way, one
exact model of the whole exam.
"""

from collections import Counter
from dataclasses import replace

from examkit.planning import arrange, conflicts, people, seating
from examkit.planning.balance import measures
from examkit.planning.chance import Stream
from examkit.planning.plan import Draw, Seat
from examkit.planning.said import AllRefused
from examkit.planning.sharing import shared_cations

VERSION = 2  # of the way of drawing: part of the commitment
PROVEN = 10**9  # a bound that is reached, whatever the number
ATTEMPTS = 4  # another spread over the sittings is tried where one leads nowhere
RULES = (
    "Neighbours (up to eight around a bench, and those at one sink, same sitting) never have the same salt, "
    "nor salts that are kept apart.",
    "Nobody gets a salt that is not for them: met before, or told by colour alone where colours are hard to "
    "tell.",
    "No salt is drawn oftener than its stock allows, and in sittings close in time a bench never has the "
    "same salt.",
    "Neighbours never share a cation where the pool allows it, else as few as possible do.",
    "Every salt is drawn equally often, in the exam, in each sitting and in each group, with differences of "
    "one where feasible; then cations and difficulty are as even in the sittings and groups as can be.",
    "Wishes for a sitting or a bench and needs for one are kept; salts better avoided are avoided where "
    "possible.",
    "Everything else is chance, computed from the seed.",
)


def draw(plan, seed):
    """The draw of a plan by a seed (text); raises AllRefused with everything that makes it impossible."""
    plan = plan.sorted()
    refuse(plan)
    drawn = _attempt(plan, seed, ATTEMPTS)
    if drawn is None:
        raise AllRefused(conflicts.explained(plan, possible))
    return drawn


def try_out(plan):
    """Raise AllRefused where no draw of this plan is found."""
    draw(plan, "trial")


def possible(plan):
    """Whether a draw of this plan is found."""
    try:
        refuse(plan)
        return _attempt(plan, "possible", 2) is not None
    except AllRefused:
        return False


def refuse(plan):
    """Raise AllRefused with all that is wrong with a plan before any solver is asked."""
    problems = [*seating.problems(plan), *conflicts.plain(plan)]
    if problems:
        raise AllRefused(problems)


def _attempt(plan, seed, attempts):
    """A draw, or None where no attempt finds one."""
    for number in range(attempts):
        tried = seed if not number else f"{seed} again {number}"
        members = _spread(plan, tried)
        turned = _turned(plan, tried)
        found = arrange.by_sitting(turned, members, tried) or arrange.as_one(turned, members, tried)
        if found:
            seated = people.seat_all(turned, members, found.salt_at, Stream(tried, "people"))
            if seated:
                return _outcome(plan, found, seated)
    return None


def _turned(plan, seed):
    """The plan with its pool in an order of chance, so that no salt stands first."""
    return replace(plan, pool=tuple(Stream(seed, "pool").shuffled(plan.pool)))


def _spread(plan, seed):
    """The candidates of each sitting, benches for the left-handed fixed, or a refusal."""
    members = seating.spread(plan, Stream(seed, "sittings"))
    if isinstance(members, dict):
        members = seating.left_handed(plan, members, Stream(seed, "left-handed"))
    if not isinstance(members, dict):
        raise AllRefused([members])
    return members


def _outcome(plan, found, seated):
    """The draw with all that can be said about how well the rules were kept."""
    seats = tuple(sorted(
        (Seat(one.number, hall, bench, found.salt_at[hall][bench])
         for hall, at in seated.at.items() for bench, one in at.items()),
        key=lambda seat: seat.number))
    salts, avoid = [c.salt for c in plan.pool], {one.number: one.avoid for one in plan.entrants}
    by_hall = {hall.name: [seat for seat in seats if seat.sitting == hall.name] for hall in plan.halls}
    shared = [
        pair for hall in plan.halls for pair in shared_cations(plan, hall, found.salt_at.get(hall.name, {}))
    ]
    balance, gap = measures(plan, seats), _gap_of(found, seated)
    gap = tuple((name, reached, gap.get(name, 0)) for name, reached in
                [("shared cations", len(shared)), *balance.items()] if reached > gap.get(name, 0))
    return Draw(
        seats, found.method, not gap, tuple(shared),
        tuple((seat.number, seat.salt) for seat in seats if seat.salt in avoid[seat.number]),
        {salt: sum(seat.salt == salt for seat in seats) for salt in salts},
        _gap(salts, seats), max(_gap(salts, some) for some in by_hall.values()), gap, balance,
    )


def _gap_of(found, seated):
    """The bound of each measure that is proven: no draw of this spread over sittings has less (else 0)."""
    bound = {"shared cations": found.least}
    if found.bound and found.bound.proven:
        bound |= found.bound.terms
    if seated.proven:
        bound |= {"salts in groups": PROVEN, "difficulty of groups": PROVEN}
    return bound


def _gap(salts, seats):
    """Most frequent less least frequent salt."""
    numbers = Counter(seat.salt for seat in seats)
    return max(numbers[salt] for salt in salts) - min(numbers[salt] for salt in salts)
