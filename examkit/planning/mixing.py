"""The last shuffle: whatever habits the solver has, many random moves that keep the rules wash them out."""

MOVES_PER_BENCH = 40
EMPTY = -1


class Floor:
    """The benches of one sitting with what stands on them, and the rules between neighbours.

    Salts are small numbers; for each salt one whole number whose bits name the salts that must not, and
    should not, stand beside it.
    """

    def __init__(self, hall, salt_at, pool, barred, asked):
        self.labels = [bench.label for bench in hall.benches]
        place = {label: index for index, label in enumerate(self.labels)}
        self.salts = [choice.salt for choice in pool]
        number = {salt: index for index, salt in enumerate(self.salts)}
        self.at = [number.get(salt_at.get(label), EMPTY) for label in self.labels]
        self.must = [_bits(pool, one, _clash) for one in pool]
        self.should = [_bits(pool, one, _share) for one in pool]
        self.barred = [
            sum(1 << number[salt] for salt in barred.get(label, ()) if salt in number)
            for label in self.labels
        ]
        self.asked = {place[label]: {number[salt] for salt in avoid if salt in number}
                      for label, avoid in asked.items()}
        self.beside = [[] for _label in self.labels]
        for one, other in hall.neighbours():
            self.beside[place[one.label]].append(place[other.label])
            self.beside[place[other.label]].append(place[one.label])

    def cost(self, place):
        """Broken rules around one bench: what must not be, what its candidate should avoid, what should not
        be."""
        salt = self.at[place]
        if salt == EMPTY:
            return (1 if place in self.asked else 0, 0, 0)
        must, should, never, shared = self.must[salt], self.should[salt], self.barred[place] >> salt & 1, 0
        for near in self.beside[place]:
            if (other := self.at[near]) != EMPTY:
                never += must >> other & 1
                shared += should >> other & 1
        return (never, salt in self.asked.get(place, ()), shared)

    def both(self, one, other):
        """The cost of two benches together."""
        (a, b, c), (d, e, f) = self.cost(one), self.cost(other)
        return a + d, b + e, c + f

    def try_swap(self, one, other):
        """Exchange two benches unless any rule would then be kept less well."""
        at = self.at
        if at[one] == at[other]:
            return
        at[one], at[other] = at[other], at[one]
        after = self.both(one, other)
        if any(after):
            at[one], at[other] = at[other], at[one]
            if all(new <= old for new, old in zip(after, self.both(one, other), strict=True)):
                at[one], at[other] = at[other], at[one]

    def salt_at(self):
        """The salt by bench label."""
        return {label: self.salts[salt] for label, salt in zip(self.labels, self.at, strict=True)
                if salt != EMPTY}


def _bits(pool, one, clash):
    return sum(1 << index for index, other in enumerate(pool) if clash(one, other))


def _clash(one, other):
    return one.salt == other.salt or not set(one.marks).isdisjoint(other.marks)


def _share(one, other):
    return not set(one.cations).isdisjoint(other.cations)


def mixed(hall, salt_at, pool, barred, asked, stream):
    """The same salts on the benches of a hall after many random exchanges, the rules kept no less well.

    `barred` gives the salts that must not stand on a bench; `asked`, for benches that must be in use, the
    salts to avoid there.
    """
    floor = Floor(hall, salt_at, pool, barred, asked)
    size = len(floor.labels)
    for _move in range(MOVES_PER_BENCH * size):
        one, other = divmod(stream.below(size * size), size)
        if one != other:
            floor.try_swap(one, other)
    return floor.salt_at()
