"""Random exams for the properties of the draw, and an independent count of the hard rules that a draw breaks."""

from random import Random

from examkit.planning.plan import BenchAt, Choice, Entrant, Hall, Plan
from tests.planning.rooms import benches


def exam(number):
    """An exam by its number: rooms with gaps, aisles and sinks, stock, salts kept apart or not for somebody."""
    chance = Random(number)
    names, layout, halls = [f"sitting {n}" for n in range(chance.randint(1, 4))], None, []
    for name in names:
        if layout is None or chance.random() < 0.4:
            layout = _room(chance)
        halls.append(Hall(name, *layout))
    people = chance.randint(1, sum(len(hall.benches) for hall in halls))
    salts = _pool(chance, people)
    entrants = tuple(
        Entrant(f"n{index:03}", group=chance.choice(["", "g", "h"]), left=chance.random() < 0.01, never=tuple(sorted(
            one.salt for one in salts if chance.random() < 0.3)) if chance.random() < 0.15 else ())
        for index in range(people)
    )
    close = tuple(pair for pair in zip(names, names[1:], strict=False) if chance.random() < 0.3)
    return Plan(tuple(halls), entrants, salts, close)


def _room(chance):
    every = [one for one in benches(chance.randint(1, 6), chance.randint(1, 6)) if chance.random() > 0.1]
    every = every or list(benches(1, 1))
    if chance.random() < 0.3:  # an aisle after the second column
        every = [one if one.column < 2 else BenchAt(one.row, one.column + 1, one.label) for one in every]
    labels = [one.label for one in every]
    links = [tuple(sorted(chance.sample(labels, 2))) for _n in range(chance.randint(0, 2)) if len(labels) > 1]
    return tuple(every), tuple(links), tuple(sorted(chance.sample(labels, min(len(labels), 2))))


def _pool(chance, people):
    cations = "ABCDEFGHIJ"[: chance.randint(2, 10)]
    return tuple(
        Choice(
            f"salt {index:02}", tuple(sorted(chance.sample(cations, 1 if chance.random() < 0.9 else 2))),
            None if chance.random() < 0.8 else chance.randint(1, people),
            tuple(mark for mark in "xy" if chance.random() < 0.12), chance.randint(200, 900))
        for index in range(chance.randint(4, 12))
    )


def broken(plan, seats):
    """Every hard rule that these seats break, as (rule, where); counted from the plan alone."""
    at = {(seat.sitting, seat.bench): seat for seat in seats}
    return [
        *_seated(plan, seats, at), *_neighbours(plan, at),
        *(("close sittings", label) for earlier, later in plan.close for (hall, label), seat in at.items()
          if hall == earlier and (later, label) in at and at[later, label].salt == seat.salt),
        *_people(plan, seats),
        *(("stock", one.salt) for one in plan.pool
          if one.most is not None and sum(seat.salt == one.salt for seat in seats) > one.most),
    ]


def _seated(plan, seats, at):
    open_ = {(hall.name, bench.label) for hall in plan.halls for bench in hall.benches}
    if {seat.number for seat in seats} != {one.number for one in plan.entrants} or len(seats) != len(plan.entrants):
        yield "everybody once", ""
    if len(at) != len(seats) or not open_ >= at.keys():
        yield "one on an open bench", ""


def _neighbours(plan, at):
    marks = {one.salt: set(one.marks) for one in plan.pool}
    for hall in plan.halls:
        linked = {frozenset(pair) for link in hall.links for pair in [link]}
        for one in hall.benches:
            for other in hall.benches:
                near = one.beside(other) or frozenset((one.label, other.label)) in linked
                seats = at.get((hall.name, one.label)), at.get((hall.name, other.label))
                if one < other and near and all(seats):
                    salts = seats[0].salt, seats[1].salt
                    if salts[0] == salts[1]:
                        yield "same salt", f"{hall.name} {one.label} {other.label}"
                    elif marks[salts[0]] & marks[salts[1]]:
                        yield "kept apart", f"{hall.name} {one.label} {other.label}"


def _people(plan, seats):
    entrants, left = {one.number: one for one in plan.entrants}, {hall.name: hall.left for hall in plan.halls}
    for seat in seats:
        one = entrants[seat.number]
        if seat.salt in one.never:
            yield "not for them", seat.number
        if one.left and seat.bench not in left[seat.sitting]:
            yield "left-handed bench", seat.number
        if one.bench not in ("", seat.bench) or one.sitting not in ("", seat.sitting):
            yield "wish", seat.number
