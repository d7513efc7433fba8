"""Counts exchanged between sittings by chance, so that they become more even and never less."""

from examkit.planning.balance import limits, same_cations, shares, unlike
from examkit.planning.plan import most_apart
from examkit.planning.solver import single_salts, with_cation

MOVES_PER_COUNT = 20
REPAIRS = 40  # rounds of TRIES moves for each sitting that is uneven
TRIES = 200
TOO_MANY = 10**6  # weight of a cation beyond what a room can keep apart
UNEVEN = 10  # of a family beyond its share; hundredths of a bit of difficulty weigh 1


class Exchange:
    """The number of each salt in each sitting.

    A move takes one of a salt from one sitting to another, and one of another salt back; each number stays
    next to its fair share.
    """

    def __init__(self, plan, members, benches=None):
        self.halls = [hall.name for hall in plan.halls if members[hall.name]]
        self.size = {name: len(members[name]) for name in self.halls}
        self.empty = [hall.name for hall in plan.halls if not members[hall.name]]
        self.everybody, self.share = len(plan.entrants), shares(plan)
        self.salts = [choice.salt for choice in plan.pool]
        self.hardness = {choice.salt: choice.difficulty for choice in plan.pool}
        self.groups = []  # (salts, limits by hall, weight)
        self._share_families(plan)
        if benches:
            self._room(plan, benches)
        self.of = {salt: [i for i, one in enumerate(self.groups) if salt in one[0]] for salt in self.salts}

    def _share_families(self, plan):
        for salts in same_cations(plan.pool):
            share = sum(self.share[salt] for salt in salts)
            if len(salts) > 1:
                near = {h: limits(share * self.size[h] / self.everybody) for h in self.halls}
                self.groups.append((set(salts), near, UNEVEN))

    def _room(self, plan, benches):
        for kinds in with_cation(single_salts(plan.pool)).values():
            room = {hall: (0, most_apart(benches[hall])) for hall in self.halls}
            self.groups.append(({kind.key for kind in kinds}, room, TOO_MANY))

    def start(self, table):
        """Begin with these numbers (hall -> salt -> number)."""
        self.start_from({(hall, salt): table[hall][salt] for hall in self.halls for salt in self.salts})

    def start_from(self, number):
        """Begin with these numbers by (hall, salt)."""
        self.number = {(hall, salt): 0 for hall in self.empty for salt in self.salts} | dict(number)
        self.near = {
            (hall, salt): _around(limits(self.share[salt] * self.size[hall] / self.everybody),
                                  self.number[hall, salt])
            for hall in self.halls for salt in self.salts
        }
        self.count = {
            (i, hall): sum(self.number[hall, salt] for salt in salts)
            for i, (salts, _near, _weight) in enumerate(self.groups) for hall in self.halls
        }
        self.hard = {
            hall: sum(self.hardness[salt] * self.number[hall, salt] for salt in self.salts)
            for hall in self.halls
        }
        self.total = sum(self.hard.values())

    def cost(self, hall):
        """How uneven one hall is, weighed."""
        off = unlike(self.hard[hall], self.size[hall], self.total, self.everybody)
        for i, (_salts, near, weight) in enumerate(self.groups):
            low, high = near[hall]
            number = self.count[i, hall]
            if number > high:
                off += weight * (number - high)
            elif number < low:
                off += weight * (low - number)
        return off

    def uneven(self):
        """How much less even anything is than it could be, weighed."""
        return sum(self.cost(hall) for hall in self.halls)

    def run(self, stream):
        """Moves by chance until nothing is uneven, then many more; none makes two sittings together less
        even."""
        if len(self.halls) < 2:
            return
        cost = {hall: self.cost(hall) for hall in self.halls}
        for _round in range(REPAIRS):
            bad = [hall for hall in self.halls if cost[hall]]
            if not bad:
                break
            for hall in bad:
                self._some(cost, stream, TRIES, [hall])
        self._some(cost, stream, MOVES_PER_COUNT * len(self.halls) * len(self.salts), self.halls)

    def _some(self, cost, stream, moves, first):
        """So many moves by chance between a sitting of `first` and any other."""
        salts, halls = len(self.salts), len(self.halls)
        for _move in range(moves):
            pick, i = divmod(stream.below(len(first) * halls * salts * salts), len(first))
            pick, j = divmod(pick, halls)
            k, m = divmod(pick, salts)
            if k != m and first[i] != self.halls[j]:
                self._try(cost, first[i], self.halls[j], self.salts[k], self.salts[m])

    def _try(self, cost, one, other, mine, theirs):
        """`one` gives a `mine` for a `theirs` of `other`, unless that is less even."""
        gone, come = ((one, mine), (other, theirs)), ((one, theirs), (other, mine))
        if any(self.number[cell] <= self.near[cell][0] for cell in gone):
            return
        if any(self.number[cell] >= self.near[cell][1] for cell in come):
            return
        self._move(one, other, mine, theirs)
        after = self.cost(one), self.cost(other)
        if sum(after) > cost[one] + cost[other]:
            self._move(one, other, theirs, mine)
        else:
            cost[one], cost[other] = after

    def _move(self, one, other, mine, theirs):
        for hall, gone, come in ((one, mine, theirs), (other, theirs, mine)):
            self.number[hall, gone] -= 1
            self.number[hall, come] += 1
            for i in self.of[gone]:
                self.count[i, hall] -= 1
            for i in self.of[come]:
                self.count[i, hall] += 1
            self.hard[hall] += self.hardness[come] - self.hardness[gone]


def _around(near, number):
    """The limits of a number, widened where it lies outside them already."""
    return min(near[0], number), max(near[1], number)
