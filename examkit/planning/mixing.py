"""The last shuffle: whatever habits the solver has, many random moves that keep the rules wash them out."""

from examkit.planning.solver import neighbours

MOVES_PER_BENCH = 60


class Floor:
    """The benches of one sitting with what stands on them, and the rules between neighbours."""

    def __init__(self, hall, salt_at, cations_of, asked):
        self.labels = [bench.label for bench in hall.benches]
        self.salt_at, self.cations_of, self.asked = dict(salt_at), cations_of, asked
        self.beside = {label: [] for label in self.labels}
        for one, other in neighbours(hall.benches):
            self.beside[one.label].append(other.label)
            self.beside[other.label].append(one.label)

    def cost(self, label):
        """Broken rules around one bench: same salt, shared cations, a salt that its candidate should
        avoid."""
        salt = self.salt_at.get(label)
        if salt is None:
            return (0, label in self.asked, 0)
        around = [self.salt_at[near] for near in self.beside[label] if near in self.salt_at]
        shared = sum(not self.cations_of[salt].isdisjoint(self.cations_of[other]) for other in around)
        wrong = salt in self.asked.get(label, ())
        return (around.count(salt), wrong, shared)

    def swap(self, one, other):
        """Exchange what stands on two benches (one of them may be empty)."""
        mine, theirs = self.salt_at.pop(one, None), self.salt_at.pop(other, None)
        if mine is not None:
            self.salt_at[other] = mine
        if theirs is not None:
            self.salt_at[one] = theirs

    def both(self, one, other):
        """The cost of two benches together."""
        return tuple(a + b for a, b in zip(self.cost(one), self.cost(other), strict=True))

    def try_swap(self, one, other):
        """Exchange two benches unless any rule would then be kept less well."""
        if self.salt_at.get(one) == self.salt_at.get(other):
            return
        before = self.both(one, other)
        self.swap(one, other)
        if any(after > earlier for after, earlier in zip(self.both(one, other), before, strict=True)):
            self.swap(one, other)


def mixed(hall, salt_at, cations_of, asked, stream):
    """The same salts on the benches of a hall after many random exchanges, the rules kept no less well.

    `asked` gives, for benches that must be in use, the salts to avoid there.
    """
    floor = Floor(hall, salt_at, cations_of, asked)
    for _move in range(MOVES_PER_BENCH * len(floor.labels)):
        one, other = stream.below(len(floor.labels)), stream.below(len(floor.labels))
        if one != other:
            floor.try_swap(floor.labels[one], floor.labels[other])
    return floor.salt_at
