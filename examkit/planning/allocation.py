"""The draw: a sitting, a bench and a salt for every candidate; same plan and seed, same draw.

Kept in this order: neighbours never share a salt; never a cation, where the pool allows; salts are drawn
equally often; everything else is chance. Small steps first (sittings, counts, then the benches of each
sitting); where they find no way, one exact model of the whole exam.
"""

from collections import Counter

from examkit.planning import arrange, seating
from examkit.planning.chance import Stream
from examkit.planning.mixing import mixed
from examkit.planning.plan import Draw, Plan, Seat, corners
from examkit.planning.said import AllRefused
from examkit.planning.said import said as _
from examkit.planning.solver import families

VERSION = 1  # of the way of drawing: part of the commitment
RULES = (
    "Neighbours (up to eight around a bench, same sitting) never have the same salt.",
    "Neighbours never share a cation where the pool allows it, else as few as possible do.",
    "Every salt is drawn equally often, in the exam and in each sitting, with differences of one where "
    "feasible.",
    "Wishes for a sitting or a bench are kept; salts better avoided are avoided where possible.",
    "Everything else is chance, computed from the seed.",
)


def draw(plan, seed):
    """The draw of a plan by a seed (text); raises AllRefused with everything that makes it impossible."""
    plan = plan.sorted()
    members = _spread(plan, seed)
    plan = Plan(plan.halls, plan.entrants, tuple(Stream(seed, "pool").shuffled(plan.pool)))
    found = arrange.by_sitting(plan, members, seed) or arrange.as_one(plan, members, seed)
    if found is None:
        raise AllRefused([_too_few_salts(plan)])
    return _outcome(plan, found, _seats(plan, members, found, seed))


def try_out(plan):
    """Raise AllRefused where no draw of this plan is possible, whatever the seed.

    With four salts or more there is always one: `solver.tiled` shows it.
    """
    _spread(plan.sorted(), "trial")
    if len(plan.pool) < 4:
        draw(plan, "trial")


def _spread(plan, seed):
    """The candidates of each sitting, or a refusal."""
    refuse(plan)
    members = seating.spread(plan, Stream(seed, "sittings"))
    if not isinstance(members, dict):
        raise AllRefused([members])
    return members


def refuse(plan):
    """Raise AllRefused with all that is wrong with a plan before any solver is asked."""
    problems = list(seating.problems(plan))
    if len(plan.pool) < 2:
        problems.append(_("The pool has %(salts)d salts; neighbours must differ. Choose at least 2, better "
                          "4 or more.",
                          salts=len(plan.pool)))
    if problems:
        raise AllRefused(problems)


def crowded(plan):
    """The corner of a room where most open benches meet: that many salts, and cations, are needed for full
    rooms."""
    meeting = [(len(group), hall.name, group) for hall in plan.halls for group in corners(hall.benches)]
    return max(meeting, key=lambda one: one[0], default=(1, "", ()))


def _too_few_salts(plan):
    most, hall, group = crowded(plan)
    return _("Sitting '%(sitting)s': the neighbours %(benches)s all meet at one corner, and each bench has "
             "up to eight neighbours, so that %(needed)d salts are needed; the pool has %(salts)d. "
             "Add salts to the pool, or close benches.",
             sitting=hall, benches=", ".join(bench.label for bench in group),
             needed=max(most, len(plan.pool) + 1), salts=len(plan.pool))


def _seats(plan, members, found, seed):
    """Every candidate's seat: salts dealt within their families, moved about, then candidates by chance."""
    cations_of = {choice.salt: frozenset(choice.cations) for choice in plan.pool}
    seats = []
    for hall in plan.halls:
        stream = Stream(seed, f"seats {hall.name}")
        asked = {one.bench: one.avoid for one in members[hall.name] if one.bench}
        salt_at = _dealt(plan, hall, members, found, stream)
        if salt_at is None:
            raise AllRefused([_too_few_salts(plan)])
        salt_at = mixed(hall, salt_at, cations_of, asked, stream)
        taken = seating.take_seats(members[hall.name], salt_at, stream)
        seats += [Seat(one.number, hall.name, bench, salt_at[bench]) for bench, one in taken.items()]
    return tuple(sorted(seats, key=lambda seat: seat.number))


def _dealt(plan, hall, members, found, stream):
    """The salt on each bench in use: the salts of a family by chance on the benches of that family."""
    if found.method == arrange.SHARING:
        return arrange.apart(plan, hall, members, found, stream)
    dealt = {}
    for kind in families(plan.pool):
        benches = [
            bench.label for bench in hall.benches if found.kinds.get((hall.name, bench.label)) == kind.key
        ]
        salts = [salt for salt in kind.salts for _each in range(found.number[hall.name, salt])]
        dealt |= zip(benches, stream.shuffled(salts), strict=True)
    return dealt


def _outcome(plan, found, seats):
    """The draw with all that can be said about how well the rules were kept."""
    avoid = {one.number: one.avoid for one in plan.entrants}
    salts = sorted(choice.salt for choice in plan.pool)
    by_hall = {hall.name: [seat for seat in seats if seat.sitting == hall.name] for hall in plan.halls}
    shared = [
        pair for hall in plan.halls
        for pair in arrange.shared_cations(plan, hall, {seat.bench: seat.salt for seat in by_hall[hall.name]})
    ]
    return Draw(
        seats, found.method, found.proven, tuple(shared),
        tuple((seat.number, seat.salt) for seat in seats if seat.salt in avoid[seat.number]),
        {salt: sum(seat.salt == salt for seat in seats) for salt in salts},
        _gap(salts, seats), max(_gap(salts, some) for some in by_hall.values()),
    )


def _gap(salts, seats):
    """Most frequent less least frequent salt."""
    numbers = Counter(seat.salt for seat in seats)
    return max(numbers[salt] for salt in salts) - min(numbers[salt] for salt in salts)
