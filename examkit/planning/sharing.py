"""The fewest neighbours that share a cation, where a pool or a room leaves no other way."""

from dataclasses import dataclass

from examkit.planning.solver import ROOM_LIMIT, Layout, Placed, families, tiled


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


def limit_shared(layout, least):
    """Forbid shared cations, or more of them in a sitting than have to be."""
    if not any(one.shared for one in least):
        layout.never_sharing()
        return
    layout.never_crowded()
    for shared, one in zip(layout.sharing().values(), least, strict=True):
        layout.model.add(sum(shared) <= one.shared)


def least_everywhere(plan, members, barred, stream):
    """The fewest shared cations in each hall by name (None: no way); halls that are alike are solved
    once."""
    known, least = {}, {}
    for hall in plan.halls:
        asked = frozenset((one.bench, one.never) for one in members[hall.name] if one.bench)
        alike = (hall.benches, hall.links, len(members[hall.name]), asked)
        if alike not in known:
            known[alike] = _least(plan, hall, members, barred, stream)
        least[hall.name] = known[alike] and known[alike].named(hall)
    return least


def _least(plan, hall, members, barred, stream):
    """The fewest shared cations in one hall, or None where even salts cannot differ."""
    kinds = families(plan.pool)
    here = {place: salts for place, salts in barred.items() if place[0] == hall.name}
    start = {} if here else tiled(hall, members[hall.name], kinds, stream)
    if start and not _pairs(hall, start):
        return Least(0, start)
    layout = Layout([hall], members, kinds, stream, here)
    layout.never_sharing()
    found = layout.solve(ROOM_LIMIT)
    if found:
        return Least(0, found.kinds)
    layout = Layout([hall], members, kinds, stream, here)
    layout.never_crowded()
    layout.start_from(start)
    layout.model.minimize(sum(layout.sharing()[hall.name]))
    found = layout.solve(ROOM_LIMIT) or (Placed(start, proven=False) if start else None)
    return found and Least(_pairs(hall, found.kinds), found.kinds, found.proven)


def _pairs(hall, kinds):
    """How many neighbours share a cation in a placement of families."""
    nothing = ((), ())
    return len([
        1 for one, other in hall.neighbours()
        if set(kinds.get((hall.name, one.label), nothing)[0])
        & set(kinds.get((hall.name, other.label), nothing)[0])
    ])


def shared_cations(plan, hall, salt_at):
    """The pairs of neighbouring benches of a hall whose salts have a cation in common."""
    cations = {choice.salt: set(choice.cations) for choice in plan.pool}
    return [
        (hall.name, one.label, other.label) for one, other in hall.neighbours()
        if one.label in salt_at and other.label in salt_at
        and cations[salt_at[one.label]] & cations[salt_at[other.label]]
    ]
