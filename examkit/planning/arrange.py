"""Which salt stands on which bench, before anybody sits there: small exact steps first, one exact model
else."""

from dataclasses import dataclass, replace

from examkit.planning import seating
from examkit.planning.chance import Stream
from examkit.planning.counts import Counts, counts
from examkit.planning.dealing import dealt
from examkit.planning.mixing import mixed
from examkit.planning.plan import in_order_of_time
from examkit.planning.sharing import least_everywhere, limit_shared
from examkit.planning.solver import ROOM_LIMIT, WHOLE_LIMIT, Layout, families, single_salts

SHARING = "fewest shared cations"
BENT = "by sitting, counts bent"
LARGEST = 25_000  # choices in one model of a whole exam; beyond that it takes too long


@dataclass
class Arrangement:
    """The salts on the benches of each hall, and how they were found."""

    method: str
    salt_at: dict  # hall name -> {bench label: salt}
    bound: Counts | None  # the most even counts that any arrangement could have
    least: int = 0  # neighbours that share a cation at least, if that is proven


class Work:
    """A plan on its way to an arrangement: halls are settled one after the other, in the order of time."""

    def __init__(self, plan, members, seed):
        self.plan, self.members, self.seed = plan, members, seed
        self.kinds = families(plan.pool)
        self.salt_at = {}

    def stream(self, purpose):
        """Chance for one purpose."""
        return Stream(self.seed, purpose)

    def barred(self, hall):
        """The salts that must not stand on a bench: of its candidate, and of a sitting just before."""
        barred = {one.bench: set(one.never) for one in self.members[hall.name] if one.bench and one.never}
        for earlier, later in self.plan.close:
            if later == hall.name:
                for label, salt in self.salt_at.get(earlier, {}).items():
                    barred.setdefault(label, set()).add(salt)
        return barred

    def settle(self, hall, kinds_at, number, method):
        """Deal the salts of a hall and shuffle them about; whether there was a way."""
        stream, barred = self.stream(f"seats {hall.name}"), self.barred(hall)
        salt_at = None
        if method != SHARING:
            salt_at = dealt(hall, kinds_at, number, self.plan.pool, barred, stream)
        if salt_at is None:
            salt_at = self._apart(hall, kinds_at, number, barred, stream, method == SHARING)
        if salt_at is None:
            return False
        asked = {one.bench: one.avoid for one in self.members[hall.name] if one.bench}
        self.salt_at[hall.name] = mixed(hall, salt_at, self.plan.pool, barred, asked, stream)
        return True

    def _apart(self, hall, kinds_at, number, barred, stream, sharing):
        """Single salts on the benches of a hall: never beside themselves, within their families if they
        share cations."""
        family_of = {salt: kind.key for kind in self.kinds for salt in kind.salts}
        for keep_counts in (True, False) if sharing else (True,):
            layout = Layout([hall], self.members, single_salts(self.plan.pool), stream, _named(hall, barred))
            layout.never_beside_itself()
            if sharing:
                for (name, bench, salt), here in layout.here.items():
                    if kinds_at.get((name, bench)) != family_of[salt]:
                        layout.model.add(here == 0)
            else:
                layout.never_sharing()
            if keep_counts:
                for kind in layout.kinds:
                    layout.model.add(layout.number(hall, kind) == number[hall.name, kind.key])
            else:
                layout.within_stock({one.salt: one.most for one in self.plan.pool if one.most is not None})
                layout.model.minimize(layout.unevenness())
            placed = layout.solve(ROOM_LIMIT)
            if placed:
                return {bench: salt for (_hall, bench), salt in placed.kinds.items()}
        return None


def _named(hall, barred):
    return {(hall.name, label): salts for label, salts in barred.items()}


def by_sitting(plan, members, seed):
    """Counts first, then each sitting by itself; None where that finds no way."""
    work = Work(plan, members, seed)
    benches = {
        hall.name: seating.pick_benches(hall, members[hall.name], work.stream(f"benches {hall.name}"))
        for hall in plan.halls
    }
    wanted = _counts(work, "counts", benches)
    if wanted and _halls(work, benches, wanted):
        return Arrangement("by sitting", work.salt_at, wanted)
    return None


def _counts(work, purpose, benches=None, fixed=None):
    """How often each salt stands in each hall, or None where there is no such count."""
    return counts(work.plan, work.members, work.stream(purpose), benches, fixed)


def _halls(work, benches, wanted, least=None):
    """Settle every hall with these counts; False where one finds no way."""
    return all(
        not work.members[hall.name] or _hall(work, hall, benches, wanted, least)
        for hall in in_order_of_time(work.plan)
    )


def _hall(work, hall, benches, wanted, least):
    """Settle one hall: on the benches picked by chance, else on any."""
    for some in dict.fromkeys([benches[hall.name], hall.benches]):
        part = replace(hall, benches=some)
        layout = _layout(work, part, f"room {hall.name}", least and least[hall.name])
        for kind in work.kinds:
            number = sum(wanted.number[hall.name, salt] for salt in kind.salts)
            layout.model.add(layout.number(part, kind) == number)
        layout.model.minimize(sum(layout.unmet()))
        found = layout.solve(ROOM_LIMIT)
        if found and work.settle(hall, found.kinds, wanted.number, SHARING if least else "by sitting"):
            return True
    return False


def _layout(work, hall, purpose, least=None):
    """The model of one hall with all that is never to be."""
    barred = _named(hall, work.barred(hall))
    layout = Layout([hall], work.members, work.kinds, work.stream(purpose), barred)
    limit_shared(layout, [least] if least else [])
    return layout


def as_one(plan, members, seed):
    """One model of the whole exam, if cations can be kept apart; else the fewest that share one; or None."""
    work = Work(plan, members, seed)
    least = least_everywhere(plan, members, _asked(work), work.stream("whole"))
    if None in least.values():
        return None
    if any(one.shared for one in least.values()):
        found = _fewest_shared(work, least)
        if found:
            return found
    size = sum(len(hall.benches) for hall in plan.halls) * len(work.kinds)
    return (size <= LARGEST and _whole(work, least)) or _bent(work, least)


def _asked(work):
    barred = {}
    for hall in work.plan.halls:
        barred |= _named(hall, work.barred(hall))
    return barred


def _fewest_shared(work, least):
    """Even counts first, then each sitting by itself with the fewest shared cations; None without a way."""
    work.salt_at = {}
    wanted = _counts(work, "counts sharing")
    benches = {hall.name: hall.benches for hall in work.plan.halls}
    if wanted and _halls(work, benches, wanted, least):
        return _told(work, SHARING, least)
    return None


def _told(work, method, least):
    """The arrangement with its bounds: counts as if only the room for cations mattered, or nothing at all."""
    shared = sum(one.shared for one in least.values())
    benches = None if shared else {hall.name: hall.benches for hall in work.plan.halls}
    bound = _counts(work, "bound", benches)
    return Arrangement(method, work.salt_at, bound, sum(one.shared for one in least.values() if one.proven))


def _whole(work, least):
    """The model of the whole exam: counts and benches at once, as even as the rules for neighbours allow."""
    work.salt_at, plan, stream = {}, work.plan, work.stream("one model")
    layout = Layout(plan.halls, work.members, work.kinds, stream, _asked(work))
    limit_shared(layout, list(least.values()))
    layout.never_the_same_on(plan.close)
    layout.within_stock({one.salt: one.most for one in plan.pool if one.most is not None})
    layout.start_from({place: key for one in least.values() for place, key in one.kinds.items()})
    layout.model.minimize(layout.unevenness() + len(plan.entrants) * sum(layout.unmet()))
    found = layout.solve(WHOLE_LIMIT)
    wanted = found and _counts(work, "deal", fixed=layout.numbers(found))
    method = SHARING if any(one.shared for one in least.values()) else "as one"
    if wanted and all(
        work.settle(hall, found.kinds, wanted.number, method) for hall in in_order_of_time(plan)
    ):
        return _told(work, method, least)
    return None


def _bent(work, least):
    """Each sitting by itself, as near as it can come to the counts wanted; None without a way."""
    work.salt_at, number = {}, {}
    first = _counts(work, "counts bent")
    if first is None:
        return None
    kinds_at = {}
    for hall in work.plan.halls:
        layout = _layout(work, hall, f"bent {hall.name}", least[hall.name])
        wanted = {k.key: sum(first.number[hall.name, salt] for salt in k.salts) for k in work.kinds}
        layout.start_from(least[hall.name].kinds)
        layout.model.minimize(layout.deviation(hall, wanted))
        found = layout.solve(ROOM_LIMIT)
        if found is None:
            return None
        kinds_at |= found.kinds
        number |= layout.numbers(found)
    again = _counts(work, "counts again", fixed=number)
    method = SHARING if any(one.shared for one in least.values()) else BENT
    if again and all(
        work.settle(hall, kinds_at, again.number, method) for hall in in_order_of_time(work.plan)
    ):
        return _told(work, method, least)
    return None
