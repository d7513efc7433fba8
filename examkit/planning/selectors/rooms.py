"""Rooms and sittings with their benches counted and laid out."""

from django.db.models import Count, Q

from examkit.models import Sitting

OPEN = Count("benches", filter=Q(benches__open=True))


def rooms_of(centre):
    """The rooms of a centre with the number of benches and of open ones."""
    return centre.rooms.annotate(places=Count("benches"), open_places=OPEN)


def sittings_of(exam):
    """The sittings of an exam, each with its room's open benches."""
    return exam.sittings.select_related("room").annotate(
        open_places=Count("room__benches", filter=Q(room__benches__open=True)))


def at_the_same_time(exam):
    """(sitting, other) pairs that begin at the same moment in one room; the other may be another exam's."""
    timed = exam.sittings.filter(starts_at__isnull=False).select_related("room")
    for sitting in timed:
        others = Sitting.objects.filter(room=sitting.room, starts_at=sitting.starts_at).select_related("exam")
        yield from ((sitting, other) for other in others if other.exam_id != exam.pk or other.pk > sitting.pk)


def bench_rows(room):
    """The benches of a room, row by row."""
    rows = {}
    for bench in room.benches.all():
        rows.setdefault(bench.row, []).append(bench)
    return list(rows.values())
