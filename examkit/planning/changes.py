"""What is drawn anew after a draw, alone: a late candidate, a broken bench, another sitting, swapped seats, a
spoilt batch; and a bench that comes into use.

Nobody else is touched; same draw, change and seed, same result.
"""

from collections import Counter
from dataclasses import dataclass, replace

from examkit.planning.balance import shares
from examkit.planning.chance import Stream
from examkit.planning.codes import fresh_codes
from examkit.planning.plan import BenchAt, Entrant, Plan, Seat
from examkit.planning.said import AllRefused
from examkit.planning.said import said as _

LATE, BENCH, SWAP, SPOILT = "late candidate", "broken bench", "seats swapped", "spoilt batch"
MOVE, OPENED = "another sitting", "bench opened"
TRIES = 30  # orders in which the candidates of a spoilt batch are served


@dataclass(frozen=True)
class Drawn:
    """A draw as it stands: its plan, the seats and sample codes by candidate's number."""

    plan: Plan
    seats: dict
    codes: dict


def changed(drawn, change, seed):
    """The draw after a change (a dict: its `kind`, what it is about); AllRefused where it cannot be."""
    return KINDS[change["kind"]](drawn, change, seed)


def _late(drawn, change, seed):
    """A candidate more: a free bench in the emptiest sitting that suits, and a salt that the rules leave."""
    entrant, plan = _read(change["entrant"]), plan_after(drawn.plan, change)
    stream = Stream(seed, "late")
    for hall in sorted(stream.shuffled(_suiting(plan, entrant)), key=lambda one: _fullness(one, drawn.seats)):
        for bench in stream.shuffled(_free(hall, entrant, drawn.seats)):
            salt = _salt(plan, drawn.seats, entrant, hall.name, bench, stream)
            if salt:
                seat = Seat(entrant.number, hall.name, bench, salt)
                return _with(replace(drawn, plan=plan), [seat], seed, new_codes=True)
    raise AllRefused([_("No free bench is left for candidate %(number)s on which a salt of the pool keeps "
                        "the rules. Bring another bench into use ('A bench comes into use'), or lift a wish.",
                        number=entrant.number)])


def _bench(drawn, change, seed):
    """A bench less: its candidate moves to another of the sitting, with the same sample where it keeps the
    rules there, else with another salt."""
    name, label = change["sitting"], change["bench"]
    plan = plan_after(drawn.plan, change)
    seat = next((one for one in drawn.seats.values() if (one.sitting, one.bench) == (name, label)), None)
    if seat is None:
        return replace(drawn, plan=plan)
    hall = next(one for one in plan.halls if one.name == name)
    moved = _reseated(replace(drawn, plan=plan), seat, [hall], Stream(seed, "bench"), seed)
    if moved:
        return moved
    raise AllRefused([_("Sitting '%(sitting)s' has no other free bench for candidate %(number)s on which a "
                        "salt keeps the rules. Bring another bench of the room into use ('A bench comes into "
                        "use'), or move the candidate ('Another sitting'); then report this one.",
                        sitting=name, number=seat.number)])


def _move(drawn, change, seed):
    """A candidate goes to a free bench of another sitting (a named one, or the emptiest that suits), with the
    same sample where it keeps the rules there, else with another salt."""
    seat, name = drawn.seats[change["number"]], change["sitting"]
    plan = plan_after(drawn.plan, change)
    stream, entrant = Stream(seed, "move"), _entrant(plan, seat.number)
    halls = [one for one in _suiting(plan, entrant) if one.name != seat.sitting and name in ("", one.name)]
    halls = sorted(stream.shuffled(halls), key=lambda one: _fullness(one, drawn.seats))
    moved = _reseated(replace(drawn, plan=plan), seat, halls, stream, seed)
    if moved:
        return moved
    raise AllRefused([_("No sitting but their own, or not the one named, has a free bench for candidate "
                        "%(number)s on which a salt keeps the rules. Bring another bench into use ('A bench "
                        "comes into use'), or name another sitting.", number=seat.number)])


def _reseated(drawn, seat, halls, stream, seed):
    """The draw with a seat moved to a free bench of these halls: with the same sample on the first that
    allows it, else with another salt; None where there is no way."""
    entrant = replace(_entrant(drawn.plan, seat.number), bench="")
    others = _others(drawn.seats, [seat.number])
    free = [(hall.name, bench) for hall in halls for bench in stream.shuffled(_free(hall, entrant, others))]
    for name, bench in free:
        if seat.salt in _allowed(drawn.plan, others, entrant, name, bench):
            return _with(drawn, [replace(seat, sitting=name, bench=bench)], seed)
    for name, bench in free:
        salt = _salt(drawn.plan, others, entrant, name, bench, stream)
        if salt:
            return _with(drawn, [Seat(seat.number, name, bench, salt)], seed, new_codes=True)
    return None


def _opened(drawn, change, _seed):
    """A bench more in a sitting; nobody moves."""
    return replace(drawn, plan=plan_after(drawn.plan, change))


def _swap(drawn, change, _seed):
    """Two candidates sat at each other's bench: each has the sample that stood there."""
    one, other = (drawn.seats[number] for number in change["numbers"])
    for number, seat in ((one.number, other), (other.number, one)):
        if seat.salt in _entrant(drawn.plan, number).never:
            raise AllRefused([_("The salt on bench %(bench)s is not for candidate %(number)s (met before, "
                                "or told by colour alone). Seat them as drawn.",
                                bench=seat.bench, number=number)])
    seats = drawn.seats | {one.number: replace(other, number=one.number),
                           other.number: replace(one, number=other.number)}
    codes = drawn.codes | {one.number: drawn.codes[other.number], other.number: drawn.codes[one.number]}
    return Drawn(drawn.plan, seats, codes)


def _spoilt(drawn, change, seed):
    """A batch of a salt is spoilt, in one sitting or in all: whoever has it gets another, with a new
    code."""
    salt, name = change["salt"], change["sitting"]
    hit = [seat for seat in drawn.seats.values() if seat.salt == salt and name in ("", seat.sitting)]
    if not hit:
        raise AllRefused([_("Nobody has %(salt)s there, so nothing is to be drawn anew.", salt=salt)])
    hit.sort(key=lambda seat: seat.number)
    stream = Stream(seed, "spoilt")
    for _try in range(TRIES):
        seats, new = _others(drawn.seats, [seat.number for seat in hit]), []
        for seat in stream.shuffled(hit):
            entrant = _entrant(drawn.plan, seat.number)
            other = _salt(drawn.plan, seats, entrant, seat.sitting, seat.bench, stream, but=salt)
            if other is None:
                break
            new.append(replace(seat, salt=other))
            seats[seat.number] = new[-1]
        else:
            return _with(drawn, new, seed, new_codes=True)
    raise AllRefused([_("Not every candidate with %(salt)s can get another salt under the rules. Prepare "
                        "the batch anew, or undo the draw.", salt=salt)])


KINDS = {LATE: _late, BENCH: _bench, MOVE: _move, OPENED: _opened, SWAP: _swap, SPOILT: _spoilt}


def _with(drawn, new, seed, new_codes=False):
    """The draw with these seats in place of the candidates' own, and fresh codes for changed samples."""
    codes = dict(drawn.codes)
    if new_codes:
        codes |= fresh_codes([seat.number for seat in new], set(codes.values()), seed)
    return Drawn(drawn.plan, drawn.seats | {seat.number: seat for seat in new}, codes)


def _entrant(plan, number):
    return next(one for one in plan.entrants if one.number == number)


def _others(seats, numbers):
    return {number: seat for number, seat in seats.items() if number not in numbers}


def _in_hall(plan, name, change):
    """The plan with one of its halls changed."""
    return replace(plan, halls=tuple(change(hall) if hall.name == name else hall for hall in plan.halls))


def _without(hall, label):
    return replace(hall, benches=tuple(bench for bench in hall.benches if bench.label != label))


def _with_bench(hall, about):
    bench = BenchAt(*about["at"], about["bench"])
    left = {*hall.left, bench.label} if about["left"] else {*hall.left} - {bench.label}
    return replace(hall, benches=tuple(sorted((*hall.benches, bench))), left=tuple(sorted(left)),
                   links=tuple(tuple(link) for link in about["links"]))


def _free_to_move(plan, number):
    """The plan without a candidate's wishes for a sitting and a bench."""
    return replace(plan, entrants=tuple(
        replace(one, sitting="", bench="") if one.number == number else one for one in plan.entrants))


def _suiting(plan, entrant):
    return [hall for hall in plan.halls
            if entrant.sitting in ("", hall.name) and hall.separate == entrant.separate]


def _fullness(hall, seats):
    return sum(seat.sitting == hall.name for seat in seats.values()) / max(1, len(hall.benches))


def _free(hall, entrant, seats):
    """The labels of the free benches of a hall that suit a candidate."""
    taken = {seat.bench for seat in seats.values() if seat.sitting == hall.name}
    return [
        bench.label for bench in hall.benches
        if bench.label not in taken and entrant.bench in ("", bench.label)
        and (not entrant.left or bench.label in hall.left)
    ]


def _allowed(plan, seats, entrant, name, label, but=""):
    """The salts that no hard rule forbids on a bench for a candidate, with the number of neighbours that
    share a cation."""
    hall = next(one for one in plan.halls if one.name == name)
    at = {seat.bench: seat.salt for seat in seats.values() if seat.sitting == name}
    pairs = (pair for pair in hall.neighbours() if label in (pair[0].label, pair[1].label))
    near = {bench.label for pair in pairs for bench in pair}
    choices = {one.salt: one for one in plan.pool}
    around = [choices[at[bench]] for bench in sorted(near - {label}) if bench in at]
    close = {one for pair in plan.close if name in pair for one in pair} - {name}
    barred = {but, *entrant.never}
    barred |= {seat.salt for seat in seats.values() if seat.sitting in close and seat.bench == label}
    drawn = Counter(seat.salt for seat in seats.values())
    return {
        one.salt: sum(not set(one.cations).isdisjoint(other.cations) for other in around)
        for one in plan.pool
        if one.salt not in barred and (one.most is None or drawn[one.salt] < one.most)
        and all(one.salt != other.salt and set(one.marks).isdisjoint(other.marks) for other in around)
    }


def _salt(plan, seats, entrant, name, label, stream, but=""):
    """A salt by chance among those allowed with the fewest shared cations, then the rarest; None without
    any."""
    allowed = _allowed(plan, seats, entrant, name, label, but)
    drawn, share = Counter(seat.salt for seat in seats.values()), shares(plan)
    rank = {salt: (salt in entrant.avoid, shared, max(0, drawn[salt] + 1 - share[salt]), drawn[salt])
            for salt, shared in allowed.items()}
    best = min(rank.values(), default=None)
    return stream.shuffled(sorted(salt for salt in rank if rank[salt] == best))[0] if rank else None


def plan_after(plan, about):
    """The plan after a change: with the late candidate or the opened bench, without the broken bench or the
    wishes of who is moved."""
    if about["kind"] == LATE:
        return replace(plan, entrants=(*plan.entrants, _read(about["entrant"])))
    if about["kind"] == BENCH:
        return _in_hall(plan, about["sitting"], lambda hall: _without(hall, about["bench"]))
    if about["kind"] == OPENED:
        return _in_hall(plan, about["sitting"], lambda hall: _with_bench(hall, about))
    if about["kind"] == MOVE:
        return _free_to_move(plan, about["number"])
    return plan


def _read(row):
    number, sitting, bench, avoid, never, *rest = row
    return Entrant(number, sitting, bench, tuple(avoid), tuple(never), *rest)
