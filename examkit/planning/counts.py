"""How often each salt is drawn, in the exam and in each sitting: as even as can be, ties by chance."""

from examkit.planning.plan import most_apart
from examkit.planning.solver import NOISE, ROOM_LIMIT, new_model, solve, with_cation


class Tally:
    """The counts of each salt in each sitting, as a model under construction."""

    def __init__(self, halls, members, kinds, stream):
        self.halls, self.members, self.kinds, self.stream = halls, members, kinds, stream
        self.model = new_model()
        self.number = {
            (hall.name, kind.key): self.model.new_int_var(0, len(members[hall.name]), "")
            for hall in halls for kind in kinds
        }
        for hall in halls:
            self.model.add(sum(self.number[hall.name, kind.key] for kind in kinds) == len(members[hall.name]))

    def even(self, groups):
        """Within each group of kinds, numbers that differ by one at most: in each sitting and in the exam.

        `groups` gives for each group its kinds and their number in each hall (None: free).
        """
        for kinds, in_hall in groups:
            if in_hall is None:
                in_hall = {hall.name: len(self.members[hall.name]) for hall in self.halls}
            for hall in self.halls:
                self._level([self.number[hall.name, kind.key] for kind in kinds], in_hall[hall.name])
            everywhere = [sum(self.number[hall.name, kind.key] for hall in self.halls) for kind in kinds]
            self._level(everywhere, sum(in_hall.values()))

    def even_families(self, groups):
        """In each hall as many of a family as its share of the pool, up or down to a whole number."""
        for hall in self.halls:
            for family in groups:
                low, rest = divmod(len(self.members[hall.name]) * len(family.salts), len(self.kinds))
                number = sum(self.number[hall.name, salt] for salt in family.salts)
                self.model.add(number >= low)
                self.model.add(number <= low + (rest > 0))

    def _level(self, numbers, total):
        low, rest = divmod(total, len(numbers))
        for number in numbers:
            self.model.add(number >= low)
            self.model.add(number <= low + (rest > 0))
        self.model.add(sum(numbers) == total)

    def room_for_cations(self, benches_of):
        """No more of one cation in a sitting than benches that are not neighbours."""
        for hall in self.halls:
            most = most_apart(benches_of[hall.name])
            for kinds in with_cation(self.kinds).values():
                self.model.add(sum(self.number[hall.name, kind.key] for kind in kinds) <= most)

    def unmet(self):
        """One variable for each candidate who should avoid salts, true where no other salt is left for
        them."""
        unmet = []
        for hall in self.halls:
            suits = {}
            for one in self.members[hall.name]:
                if one.avoid:
                    good = [kind for kind in self.kinds if kind.key not in one.avoid]
                    taken = {kind.key: self.model.new_bool_var("") for kind in good}
                    unmet.append(self.model.new_bool_var(""))
                    self.model.add_exactly_one([*taken.values(), unmet[-1]])
                    for key, var in taken.items():
                        suits.setdefault(key, []).append(var)
            for key, served in suits.items():
                self.model.add(sum(served) <= self.number[hall.name, key])
        return unmet

    def solve(self):
        """The number of each kind by (hall name, key), random among the even ones; None where there is
        none."""
        unmet = self.unmet()
        taste = sum(self.stream.below(NOISE) * number for number in self.number.values())
        weight = NOISE * (1 + sum(len(members) for members in self.members.values()))
        self.model.minimize(weight * sum(unmet) + taste)
        solver, found, _proven = solve(self.model, self.stream, ROOM_LIMIT)
        return {key: solver.value(number) for key, number in self.number.items()} if found else None
