"""Which salt stands on which bench, before anybody sits there: small exact steps first, one exact model
else."""

from dataclasses import dataclass

from examkit.planning import seating
from examkit.planning.chance import Stream
from examkit.planning.counts import Tally
from examkit.planning.plan import Hall
from examkit.planning.solver import (
    ROOM_LIMIT,
    WHOLE_LIMIT,
    Layout,
    Placed,
    families,
    neighbours,
    single_salts,
    tiled,
)


@dataclass(frozen=True)
class Arrangement:
    """The kinds on the benches, the number of each salt in each sitting, and how they were found."""

    method: str
    kinds: dict  # (hall name, bench label) -> key of a kind
    number: dict  # (hall name, salt) -> how often
    proven: bool = True


def by_sitting(plan, members, seed):
    """Counts first, then each sitting by itself; None where that finds no way."""
    benches = {
        hall.name: seating.pick_benches(hall, members[hall.name], Stream(seed, f"benches {hall.name}"))
        for hall in plan.halls
    }
    salts = single_salts(plan.pool)
    tally = Tally(plan.halls, members, salts, Stream(seed, "counts"))
    tally.even([(salts, None)])
    tally.room_for_cations(benches)
    number = tally.solve()
    placed = {}
    for hall in plan.halls if number else ():
        one = _hall(plan, hall, benches[hall.name], members, number, Stream(seed, f"room {hall.name}"))
        if one is None:
            return None
        placed |= one
    return Arrangement("by sitting", placed, number) if number else None


def _hall(plan, hall, picked, members, number, stream):
    """The families on the benches of one hall: on those picked by chance, or else on any."""
    kinds = families(plan.pool)
    for benches in dict.fromkeys([picked, hall.benches]):
        layout = Layout([Hall(hall.name, benches)], members, kinds, stream)
        layout.never_sharing()
        for kind in kinds:
            layout.model.add(
                layout.number(layout.halls[0], kind) == sum(number[hall.name, s] for s in kind.salts)
            )
        layout.model.minimize(sum(layout.unmet()))
        found = layout.solve(ROOM_LIMIT)
        if found:
            return found.kinds
    return None


def as_one(plan, members, seed):
    """One model of the whole exam, without shared cations or else with the fewest; None where there is
    none."""
    stream = Stream(seed, "whole")
    least = _least_everywhere(plan, members, stream)
    if None in least:
        return None
    free = not any(one.shared for one in least)
    layout = Layout(plan.halls, members, families(plan.pool), stream)
    _limit_shared(layout, least, free)
    start = {place: key for one in least for place, key in one.kinds.items()}
    layout.start_from(start)
    layout.model.minimize(layout.unevenness() + len(plan.entrants) * sum(layout.unmet()))
    found = layout.solve(WHOLE_LIMIT) or Placed(start, proven=False)
    method = "as one" if free else "fewest shared cations"
    number = _deal(plan, members, layout, found, stream)
    return Arrangement(method, found.kinds, number, found.proven and all(one.proven for one in least))


def _limit_shared(layout, least, free):
    """Forbid shared cations, or more of them in a sitting than have to be."""
    if free:
        layout.never_sharing()
        return
    layout.never_crowded()
    for shared, one in zip(layout.sharing().values(), least, strict=True):
        layout.model.add(sum(shared) <= one.shared)


@dataclass(frozen=True)
class Least:
    """The fewest neighbours of one sitting that share a cation, with benches that show it."""

    shared: int
    kinds: dict
    proven: bool = True

    def named(self, hall):
        """The same for another hall with the same benches."""
        return Least(
            self.shared, {(hall.name, bench): key for (_hall, bench), key in self.kinds.items()}, self.proven
        )


def _least_everywhere(plan, members, stream):
    """The fewest shared cations in each hall; halls that are alike are solved once."""
    known, least = {}, []
    for hall in plan.halls:
        alike = (hall.benches, len(members[hall.name]), frozenset(one.bench for one in members[hall.name]))
        if alike not in known:
            known[alike] = _least(plan, hall, members, stream)
        least.append(known[alike] and known[alike].named(hall))
    return least


def _least(plan, hall, members, stream):
    """The fewest shared cations in one hall, or None where even salts cannot differ."""
    start = tiled(hall, members[hall.name], families(plan.pool), stream)
    if start and not _pairs(hall, start):
        return Least(0, start)
    layout = Layout([hall], members, families(plan.pool), stream)
    layout.never_sharing()
    found = layout.solve(ROOM_LIMIT)
    if found:
        return Least(0, found.kinds)
    layout = Layout([hall], members, families(plan.pool), stream)
    layout.never_crowded()
    layout.start_from(start)
    layout.model.minimize(sum(layout.sharing()[hall.name]))
    found = layout.solve(ROOM_LIMIT) or (Placed(start, proven=False) if start else None)
    return found and Least(_pairs(hall, found.kinds), found.kinds, found.proven)


def _pairs(hall, kinds):
    """How many neighbours share a cation in a placement of families."""
    return len([
        1 for one, other in neighbours(hall.benches)
        if set(kinds.get((hall.name, one.label), ())) & set(kinds.get((hall.name, other.label), ()))
    ])


def apart(plan, hall, members, found, stream):
    """The salts on the benches of a hall where a family stands beside itself: never the same salt twice.

    The counts are kept where that is possible, else they are as even as possible; None where there is no way.
    """
    family_of = {salt: kind.key for kind in families(plan.pool) for salt in kind.salts}
    for keep_counts in (True, False):
        layout = Layout([hall], members, single_salts(plan.pool), stream)
        layout.never_beside_itself()
        for (name, bench, salt), here in layout.here.items():
            if found.kinds.get((name, bench)) != family_of[salt]:
                layout.model.add(here == 0)
        if keep_counts:
            for kind in layout.kinds:
                layout.model.add(layout.number(hall, kind) == found.number[hall.name, kind.key])
        else:
            layout.model.minimize(layout.unevenness())
        placed = layout.solve(ROOM_LIMIT)
        if placed:
            return {bench: salt for (_hall, bench), salt in placed.kinds.items()}
    return None


def shared_cations(plan, hall, salt_at):
    """The pairs of neighbouring benches of a hall whose salts have a cation in common."""
    cations = {choice.salt: set(choice.cations) for choice in plan.pool}
    return [
        (hall.name, one.label, other.label) for one, other in neighbours(hall.benches)
        if one.label in salt_at and other.label in salt_at
        and cations[salt_at[one.label]] & cations[salt_at[other.label]]
    ]


def _deal(plan, members, layout, found, stream):
    """The number of each salt in each sitting, families divided evenly among their salts."""
    in_hall = layout.numbers(found)
    salts = {kind.key: kind for kind in single_salts(plan.pool)}
    tally = Tally(plan.halls, members, list(salts.values()), stream)
    tally.even(
        (
            [salts[name] for name in kind.salts],
            {hall.name: in_hall[hall.name, kind.key] for hall in plan.halls},
        )
        for kind in layout.kinds
    )
    return tally.solve()
