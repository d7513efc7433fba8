"""Rooms and sittings with their benches counted and laid out."""

from django.db.models import Count, Q

OPEN = Count("benches", filter=Q(benches__open=True))


def rooms_of(centre):
    """The rooms of a centre with the number of benches and of open ones."""
    return centre.rooms.annotate(places=Count("benches"), open_places=OPEN)


def sittings_of(exam):
    """The sittings of an exam, each with its room's open benches."""
    return exam.sittings.select_related("room").annotate(
        open_places=Count("room__benches", filter=Q(room__benches__open=True)))


def bench_rows(room):
    """The benches of a room, row by row."""
    rows = {}
    for bench in room.benches.all():
        rows.setdefault(bench.row, []).append(bench)
    return list(rows.values())
