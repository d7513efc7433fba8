"""How often each salt is drawn, in the exam and in each sitting: as even as can be, ties by chance.

First by chance (fair shares rounded, then exchanged between sittings until nothing is uneven); an exact model
where that leaves anything, or where somebody's salts or a room's cations need it.
"""

from dataclasses import dataclass

from examkit.planning.balance import ALIKE, limits, same_cations, shares
from examkit.planning.dealing import matched
from examkit.planning.exchange import TOO_MANY, Exchange
from examkit.planning.plan import most_apart
from examkit.planning.rounding import rounded
from examkit.planning.solver import WHOLE_LIMIT, families, new_model, single_salts, solve, with_cation

# what weighs more is settled first
WEIGHTS = {
    "salts": 1000, "salts in sittings": 100, "salts not avoided": 50, "cations in sittings": 10,
    "difficulty of sittings": 1,
}
LARGEST = 1000  # counts in one exact model; beyond that exchanges alone, where they keep every rule


@dataclass(frozen=True)
class Counts:
    """The number of each salt by (hall name, salt), the imbalance by what is balanced, and whether no other
    numbers have less."""

    number: dict
    terms: dict
    proven: bool


def counts(plan, members, stream, benches=None, fixed=None):
    """Even counts, or None where there are none.

    `benches` gives the benches of each hall on which cations are to be kept apart; `fixed` the number of each
    family in each hall by (hall name, key), where that is settled.
    """
    exchange = None if fixed else Exchange(plan, members, benches)
    if exchange:
        exchange.start(_by_chance(plan, members, stream))
        exchange.run(stream)
        fits = exchange.uneven() < TOO_MANY and suits(plan, members, exchange.number, stream)
        if fits and (not exchange.uneven() or len(exchange.number) > LARGEST):
            return Counts(exchange.number, dict.fromkeys(WEIGHTS, 0), proven=not exchange.uneven())
    tally = Tally(plan, members)
    if benches:
        tally.room_for_cations(benches)
    if fixed:
        tally.keep(families(plan.pool), fixed)
    found = tally.solve(stream, exchange and exchange.number)
    return found and _shaken(found, exchange, plan, members, stream)


def _by_chance(plan, members, stream):
    share, everybody = shares(plan), len(plan.entrants)
    halls = [hall.name for hall in plan.halls if members[hall.name]]
    table = {
        hall: {salt: share[salt] * len(members[hall]) / everybody for salt in share} for hall in halls
    }
    return rounded(table, stream)


def _shaken(found, exchange, plan, members, stream):
    """The same counts after many exchanges between sittings that leave them as even."""
    if exchange is None:
        return found
    exchange.start_from(found.number)
    exchange.run(stream)
    if suits(plan, members, exchange.number, stream, better=not found.terms["salts not avoided"]):
        return Counts(exchange.number, found.terms, found.proven)
    return found


def suits(plan, members, number, stream, better=True):
    """Whether each hall has enough of the salts that those may have who must not have some.

    `better` asks the same for salts that are better avoided.
    """
    for hall in plan.halls:
        picky = [
            (one.number, one.never + one.avoid if better else one.never)
            for one in members[hall.name] if one.never or better and one.avoid
        ]
        places = [
            (choice.salt, copy) for choice in plan.pool if picky
            for copy in range(number[hall.name, choice.salt])
        ]
        if picky and matched(picky, places, lambda one, place: place[0] not in one[1], stream) is None:
            return False
    return True


class Tally:
    """The counts of each salt in each sitting, as a model under construction."""

    def __init__(self, plan, members):
        self.plan, self.members = plan, members
        self.model, self.terms = new_model(), {name: [] for name in WEIGHTS}
        self.share = shares(plan)
        self.number = {
            (hall.name, choice.salt): self.model.new_int_var(0, len(members[hall.name]), "")
            for hall in plan.halls for choice in plan.pool
        }
        for hall in plan.halls:
            self.model.add(self._in_hall(hall, self.share) == len(members[hall.name]))
        self._keep_stock()
        self._suit_everybody()
        self._even()
        self._alike()

    def _in_hall(self, hall, salts):
        return sum(self.number[hall.name, salt] for salt in salts)

    def _everywhere(self, salt):
        return sum(self.number[hall.name, salt] for hall in self.plan.halls)

    def _keep_stock(self):
        for choice in self.plan.pool:
            if choice.most is not None:
                self.model.add(self._everywhere(choice.salt) <= choice.most)

    def _suit_everybody(self):
        """Of the salts of a hall there are enough for those who must not have some of them."""
        for hall in self.plan.halls:
            needs = {}
            for one in self.members[hall.name]:
                if one.never or one.avoid:
                    needs[one.never, one.avoid] = needs.get((one.never, one.avoid), 0) + 1
            taken = {}
            for (never, avoid), how_many in sorted(needs.items()):
                good = [salt for salt in self.share if salt not in never]
                some = {salt: self.model.new_int_var(0, how_many, "") for salt in good}
                self.model.add(sum(some.values()) == how_many)
                self.terms["salts not avoided"] += [var for salt, var in some.items() if salt in avoid]
                for salt, var in some.items():
                    taken.setdefault(salt, []).append(var)
            for salt, served in taken.items():
                self.model.add(sum(served) <= self.number[hall.name, salt])

    def _even(self):
        """Numbers next to the fair share: in the exam, in each sitting, and for each family in each
        sitting."""
        everybody, alike = len(self.plan.entrants), same_cations(self.plan.pool)
        for salt, share in self.share.items():
            self._near("salts", self._everywhere(salt), share)
        for hall in self.plan.halls:
            part = len(self.members[hall.name])
            for salt, share in self.share.items():
                self._near("salts in sittings", self.number[hall.name, salt], share * part / everybody)
            for salts in alike:
                share = sum(self.share[salt] for salt in salts) * part / everybody
                self._near("cations in sittings", self._in_hall(hall, salts), share)

    def _near(self, name, number, share):
        low, high = limits(share)
        off = self.model.new_int_var(0, len(self.plan.entrants), "")
        self.model.add(number <= high + off)
        self.model.add(number >= low - off)
        self.terms[name].append(off)

    def _alike(self):
        """The mean difficulty of each sitting within ALIKE of that of the exam."""
        hardness = {choice.salt: choice.difficulty for choice in self.plan.pool}
        worst, everybody = max(hardness.values(), default=0), len(self.plan.entrants)
        if len(self.plan.halls) < 2 or min(hardness.values(), default=0) == worst:
            return
        total = sum(hardness[salt] * number for (_hall, salt), number in self.number.items())
        for hall in self.plan.halls:
            part = len(self.members[hall.name])
            if part:
                mine = sum(hardness[salt] * self.number[hall.name, salt] for salt in self.share)
                off = self.model.new_int_var(0, worst, "")
                bound = everybody * part * (off + ALIKE)
                self.model.add(everybody * mine - part * total <= bound)
                self.model.add(part * total - everybody * mine <= bound)
                self.terms["difficulty of sittings"].append(off)

    def room_for_cations(self, benches_of):
        """No more of one cation in a sitting than benches that are not neighbours."""
        for hall in self.plan.halls:
            most = most_apart(benches_of[hall.name])
            for kinds in with_cation(single_salts(self.plan.pool)).values():
                self.model.add(self._in_hall(hall, [kind.key for kind in kinds]) <= most)

    def keep(self, kinds, number):
        """In each hall so many of each kind: `number` by (hall name, key)."""
        for hall in self.plan.halls:
            for kind in kinds:
                self.model.add(self._in_hall(hall, kind.salts) == number[hall.name, kind.key])

    def solve(self, stream, start=None):
        """Counts among the most even ones; None where there are none."""
        for key, value in (start or {}).items():
            self.model.add_hint(self.number[key], value)
        self.model.minimize(sum(WEIGHTS[name] * sum(terms) for name, terms in self.terms.items()))
        solver, found, proven = solve(self.model, stream, WHOLE_LIMIT)
        if not found:
            return None
        terms = {name: sum(solver.value(off) for off in some) for name, some in self.terms.items()}
        number = {key: solver.value(number) for key, number in self.number.items()}
        return Counts(number, terms, proven or not any(terms.values()))
