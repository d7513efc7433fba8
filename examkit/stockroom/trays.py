"""Trays: what goes to each room, and which sample stands at which bench in which sitting; no candidates."""

from collections import defaultdict
from dataclasses import dataclass

from examkit.stockroom.amounts import Amount, with_spare


@dataclass(frozen=True)
class Tray:
    """One bench: its sample code in each sitting of the room, in time."""

    bench: str
    codes: tuple[str, ...]


@dataclass(frozen=True)
class RoomTray:
    """What goes to one room: bottle sets for its benches, the fume cupboard's share, its samples."""

    room: str
    sittings: tuple[str, ...]
    candidates: int
    trays: tuple[Tray, ...]
    cupboard: tuple[tuple[str, Amount], ...]


def room_trays(exam, stock):
    """The trays of every room of a drawn exam, in one query."""
    rows = exam.samples.select_related("sitting__room", "bench").defer("salt").order_by(
        "sitting__room__name", "bench__row", "bench__column")
    by_room = defaultdict(list)
    for row in rows:
        by_room[row.sitting.room].append(row)
    return [_room(exam, stock, room, samples) for room, samples in by_room.items()]


def _room(exam, stock, room, samples):
    sittings = sorted({sample.sitting for sample in samples}, key=_in_time)
    at = defaultdict(dict)
    for sample in samples:
        at[sample.bench.label][sample.sitting_id] = sample.code
    trays = tuple(
        Tray(bench, tuple(codes.get(sitting.pk, "") for sitting in sittings)) for bench, codes in at.items())
    share = tuple((row.name, _share(row.need.each, len(samples), exam.spare_percent))
                  for row in stock.cupboard_set)
    return RoomTray(room.name, tuple(sitting.name for sitting in sittings), len(samples), trays, share)


def _in_time(sitting):
    return (sitting.starts_at is None, sitting.starts_at or 0, sitting.pk)


def _share(each, candidates, spare_percent):
    return Amount(with_spare(each.value * candidates, spare_percent), each.unit).ready
