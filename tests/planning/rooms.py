"""Plans for the tests of the draw: rooms, candidates and pools without a database."""

from examkit.planning.plan import BenchAt, Choice, Entrant, Hall, Plan


def benches(rows, columns, without=()):
    """The open benches of a room, named A1, A2, ... row by row."""
    every = [BenchAt(row, column, f"{chr(65 + row)}{column + 1}") for row in range(rows) for column in range(columns)]
    return tuple(bench for bench in every if bench.label not in without)


def hall(name="morning", rows=5, columns=4, without=()):
    return Hall(name, benches(rows, columns, without))


def pool(*cations):
    """A salt for each cation given; several cations in one salt as "K Al"."""
    return tuple(Choice(f"salt {index:02}", tuple(held.split())) for index, held in enumerate(cations))


def crowd(number, **wishes):
    """So many candidates without wishes; `wishes` maps a number like n003 to an Entrant's fields."""
    return tuple(Entrant(f"n{index:03}", **wishes.get(f"n{index:03}", {})) for index in range(number))


TWELVE = pool(*"ABCDEFGHIJKL")
TWELVE_OF_FOUR = pool(*"ABCDABCDABCD")
TWO_ROOMS = (hall("morning"), hall("afternoon"))


def plan(candidates=40, halls=TWO_ROOMS, salts=TWELVE, **wishes):
    return Plan(tuple(halls), crowd(candidates, **wishes), salts)


def touching(plan_, draw_):
    """The pairs of seats that are neighbours in the same sitting."""
    place = {(one.name, bench.label): bench for one in plan_.halls for bench in one.benches}
    seats = draw_.seats
    return [
        (one, other) for index, one in enumerate(seats) for other in seats[index + 1:]
        if one.sitting == other.sitting
        and place[one.sitting, one.bench].beside(place[other.sitting, other.bench])
    ]


def cations(plan_):
    return {choice.salt: set(choice.cations) for choice in plan_.pool}
