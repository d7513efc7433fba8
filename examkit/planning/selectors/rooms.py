"""Rooms and sittings with their benches counted and laid out."""

from dataclasses import dataclass

from django.db.models import Count, Q

from examkit.models import Exam, Sitting, State
from examkit.planning import grid
from examkit.planning.selectors.draw import planned_benches

OPEN = Count("benches", filter=Q(benches__open=True))


def rooms_of(centre):
    """The rooms of a centre with the number of benches and of open ones."""
    return centre.rooms.annotate(places=Count("benches"), open_places=OPEN)


def sittings_of(exam):
    """The sittings of an exam, each with the open benches of its room, or of the plan once that is sealed."""
    sittings = list(exam.sittings.select_related("room").annotate(
        open_places=Count("room__benches", filter=Q(room__benches__open=True))))
    planned = planned_benches(exam)
    for sitting in sittings:
        if sitting.name in planned:
            sitting.open_places = len(planned[sitting.name])
    return sittings


def sealed_in(room):
    """The exams that are sealed or drawn, and not sat yet, with a sitting in a room: each keeps its own
    benches."""
    waiting = Exam.objects.filter(sittings__room=room, state__in=(State.DRAFT, State.DRAWN, State.PREPARED))
    return list(waiting.exclude(commitment="").distinct())


def at_the_same_time(exam):
    """(sitting, other) pairs that begin at the same moment in one room; the other may be another exam's."""
    timed = exam.sittings.filter(starts_at__isnull=False).select_related("room")
    for sitting in timed:
        others = Sitting.objects.filter(room=sitting.room, starts_at=sitting.starts_at).select_related("exam")
        yield from ((sitting, other) for other in others if other.exam_id != exam.pk or other.pk > sitting.pk)


@dataclass(frozen=True)
class Place:
    """A place of a room's grid: where it is, what stands there, and the label of its bench."""

    row: int
    column: int
    what: str
    label: str


def grid_of(room):
    """The places of a room, row by row."""
    benches = {(bench.row, bench.column): bench for bench in room.benches.all()}
    fixtures = {(row, column): what for row, column, what in room.fixtures}
    return [
        [_place(row, column, benches.get((row, column)), fixtures) for column in range(room.columns)]
        for row in range(room.rows)
    ]


def _place(row, column, bench, fixtures):
    if bench is None:
        return Place(row, column, fixtures.get((row, column), grid.AISLE), grid.label_at(row, column))
    what = grid.CLOSED if not bench.open else grid.LEFT if bench.left_handed else grid.BENCH
    return Place(row, column, what, bench.label)


def what_stands_at(room, row, column):
    """What stands at one place of a room's grid."""
    bench = room.benches.filter(row=row, column=column).first()
    return _place(row, column, bench, {(at, beside): what for at, beside, what in room.fixtures}).what


def counted(room):
    """How many benches of a room are open, for left-handed candidates, and closed."""
    benches = list(room.benches.all())
    return {
        "open": sum(bench.open for bench in benches),
        "left": sum(bench.open and bench.left_handed for bench in benches),
        "closed": sum(not bench.open for bench in benches),
        "sinks": len(grid.sharing_sinks([bench for bench in benches if bench.open], room.fixtures)),
    }
