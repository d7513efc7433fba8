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

SHARING = "fewest shared cations"


@dataclass(frozen=True)
class Arrangement:
    """The kinds on the benches, the number of each salt in each sitting, and how they were found."""

    method: str
    kinds: dict  # (hall name, bench label) -> key of a kind
    number: dict  # (hall name, salt) -> how often
    proven: bool = True


def by_sitting(plan, members, seed):
    """Counts first, then each sitting by itself; None where that finds no way.

    Families drawn evenly, too, fit a full room more often than evenly drawn salts alone: that is tried first.
    """
    benches = {
        hall.name: seating.pick_benches(hall, members[hall.name], Stream(seed, f"benches {hall.name}"))
        for hall in plan.halls
    }
    for even_families in (True, False):
        number = _numbers(plan, members, benches, Stream(seed, f"counts {even_families}"), even_families)
        placed = number and _halls(plan, members, benches, number, seed)
        if placed:
            return Arrangement("by sitting", placed, number)
    return None


def _numbers(plan, members, benches, stream, even_families):
    """How often each salt stands in each hall, or None where there is no such count.

    `benches` gives the benches on which cations are to be kept apart; without them cations do not count.
    """
    salts = single_salts(plan.pool)
    tally = Tally(plan.halls, members, salts, stream)
    tally.even([(salts, None)])
    if benches:
        tally.room_for_cations(benches)
    if even_families:
        tally.even_families(families(plan.pool))
    return tally.solve()


def _halls(plan, members, benches, number, seed, least=None):
    """The families on the benches of every hall, or None where one finds no way."""
    placed = {}
    for hall in plan.halls:
        stream = Stream(seed, f"room {hall.name}")
        tried = dict.fromkeys([benches[hall.name], hall.benches])  # those picked by chance, or else any
        options = (_hall(Hall(hall.name, some), plan, members, number, stream, least) for some in tried)
        one = next((kinds for kinds in options if kinds), None)
        if one is None and members[hall.name]:
            return None
        placed |= one or {}
    return placed


def _hall(hall, plan, members, number, stream, least):
    """The families on the benches of one hall, in these numbers; None where that finds no way."""
    kinds = families(plan.pool)
    layout = Layout([hall], members, kinds, stream)
    _limit_shared(layout, [least[hall.name]] if least else [])
    for kind in kinds:
        layout.model.add(layout.number(hall, kind) == sum(number[hall.name, salt] for salt in kind.salts))
    layout.model.minimize(sum(layout.unmet()))
    found = layout.solve(ROOM_LIMIT)
    return found and found.kinds


def as_one(plan, members, seed):
    """One model of the whole exam, if cations can be kept apart; else the fewest that share one; or None."""
    stream = Stream(seed, "whole")
    least = _least_everywhere(plan, members, stream)
    if None in least:
        return None
    if any(one.shared for one in least):
        return _fewest_shared(plan, members, seed, least) or _whole(plan, members, stream, least)
    return _whole(plan, members, stream, least)


def _fewest_shared(plan, members, seed, least):
    """Even counts first, then each sitting by itself with the fewest shared cations; None without a way."""
    number = _numbers(plan, members, None, Stream(seed, "counts sharing"), even_families=True)
    benches = {hall.name: hall.benches for hall in plan.halls}
    by_hall = dict(zip(benches, least, strict=True))
    placed = number and _halls(plan, members, benches, number, seed, by_hall)
    return placed and Arrangement(SHARING, placed, number, all(one.proven for one in least))


def _whole(plan, members, stream, least):
    """The model of the whole exam: counts and benches at once, as even as the rules for neighbours allow."""
    layout = Layout(plan.halls, members, families(plan.pool), stream)
    _limit_shared(layout, least)
    start = {place: key for one in least for place, key in one.kinds.items()}
    layout.start_from(start)
    layout.model.minimize(layout.unevenness() + len(plan.entrants) * sum(layout.unmet()))
    found = layout.solve(WHOLE_LIMIT) or Placed(start, proven=False)
    method = SHARING if any(one.shared for one in least) else "as one"
    number = _deal(plan, members, layout, found, stream)
    return Arrangement(method, found.kinds, number, found.proven and all(one.proven for one in least))


def _limit_shared(layout, least):
    """Forbid shared cations, or more of them in a sitting than have to be."""
    if not any(one.shared for one in least):
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
