"""Who gets which bench: wishes bind, the salts of each group (class) are as even as can be, the rest is
chance."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from examkit.planning.balance import ALIKE, limits, shares, unlike
from examkit.planning.dealing import matched
from examkit.planning.solver import WHOLE_LIMIT, new_model, solve

SWAPS_PER_CANDIDATE = 40
REPAIRS = 20  # rounds of exchanges for what is uneven
TRIES = 20
LARGEST = 6_000  # choices in one model of all sittings; beyond that exchanges alone
AVOIDED = 10**6  # weight of a salt that somebody should better not get
UNEVEN = 1000  # of one sample too many or too few in a group


@dataclass(frozen=True)
class Seated:
    """The entrant on each bench in use by hall name, and whether no other way is more even in the groups."""

    at: dict
    proven: bool


def seat_all(plan, members, salt_at, stream):
    """A bench for each candidate; None where the salts in a hall do not suit those who must not have
    some."""
    halls = {hall.name: _Hall(hall, members[hall.name], salt_at.get(hall.name, {})) for hall in plan.halls}
    dealer = _Dealer(plan, halls, stream)
    proven = dealer.deal()
    if proven is None:
        return None
    return Seated({name: hall.seats(stream) for name, hall in halls.items()}, proven)


class _Hall:
    """The candidates of a hall: who asked for a bench has its salt; the others get one of the rest."""

    def __init__(self, hall, members, salt_at):
        self.fixed = {one.bench: one for one in members if one.bench}
        self.free = [one for one in members if not one.bench]
        self.salt_at = salt_at
        self.left = Counter(salt for bench, salt in salt_at.items() if bench not in self.fixed)
        self.kinds = defaultdict(list)  # candidates between whom the rules make no difference
        for one in self.free:
            self.kinds[one.group, one.never, one.avoid].append(one)
        self.salt_of = {one.number: salt_at[bench] for bench, one in self.fixed.items()}

    def seats(self, stream):
        """The candidate on each bench: those with a salt by chance on the benches of that salt."""
        at = dict(self.fixed)
        benches = stream.shuffled(sorted(bench for bench in self.salt_at if bench not in self.fixed))
        places = defaultdict(list)
        for bench in benches:
            places[self.salt_at[bench]].append(bench)
        return at | {places[self.salt_of[one.number]].pop(): one for one in self.free}


class _Dealer:
    """The salts of each hall dealt to its candidates."""

    def __init__(self, plan, halls, stream):
        self.plan, self.halls, self.stream = plan, halls, stream
        self.sizes = Counter(one.group for one in plan.entrants)
        self.share = shares(plan)
        self.got = self._fixed()

    def deal(self):
        """Deal to everybody by chance, exchange until it is even; whether it is proven even, None where
        somebody's rules cannot be kept."""
        for hall in self.halls.values():
            if not self._by_chance(hall):
                return None
        shuffle = _Shuffle(self)
        shuffle.run()
        if not shuffle.uneven():
            return True
        proven = self._exactly(shuffle)
        shuffle = _Shuffle(self)
        shuffle.run()
        return proven or not shuffle.uneven()

    def _exactly(self, shuffle):
        """Deal by an exact model, where it is small enough and finds something better."""
        if sum(len(hall.kinds) * len(hall.left) for hall in self.halls.values()) > LARGEST:
            return False
        model, number = new_model(), {}
        for name in self.halls:
            self._choices(model, name, number)
        self._hint(model, number)
        model.minimize(self._unmet(number) + self._uneven(model, number))
        solver, found, proven = solve(model, self.stream, WHOLE_LIMIT)
        if found and solver.objective_value < shuffle.uneven():
            self.got = self._fixed()
            for name, hall in self.halls.items():
                self._hand_out(hall, {(kind, salt): solver.value(var)
                                      for (other, kind, salt), var in number.items() if other == name})
        return found and proven

    def _hint(self, model, number):
        """Tell the solver what was dealt by chance."""
        for (name, kind, salt), var in number.items():
            hall = self.halls[name]
            model.add_hint(var, sum(hall.salt_of[one.number] == salt for one in hall.kinds[kind]))

    def _fixed(self):
        got = {group: Counter() for group in self.sizes}
        for hall in self.halls.values():
            for one in hall.fixed.values():
                got[one.group][hall.salt_of[one.number]] += 1
        return got

    def _choices(self, model, name, number):
        """How many candidates of a kind get which salt."""
        hall = self.halls[name]
        for kind, people in hall.kinds.items():
            for salt in sorted(hall.left):
                if salt not in kind[1]:
                    number[name, kind, salt] = model.new_int_var(0, min(len(people), hall.left[salt]), "")
            model.add(sum(number.get((name, kind, salt), 0) for salt in hall.left) == len(people))
        for salt, many in hall.left.items():
            model.add(sum(number.get((name, kind, salt), 0) for kind in hall.kinds) == many)

    def _unmet(self, number):
        return AVOIDED * sum(var for (_hall, kind, salt), var in number.items() if salt in kind[2])

    def _uneven(self, model, number):
        """What is too much or too little of a salt in a group, and of difficulty."""
        if len(self.sizes) < 2:
            return 0
        given = self._fixed()
        for (_hall, kind, salt), var in number.items():
            given[kind[0]][salt] = given[kind[0]][salt] + var
        off = []
        for group, size in self.sizes.items():
            for salt, share in self.share.items():
                low, high = limits(share * size / len(self.plan.entrants))
                off.append(model.new_int_var(0, size, ""))
                model.add(given[group][salt] <= high + off[-1])
                model.add(given[group][salt] >= low - off[-1])
        return UNEVEN * sum(off) + self._unlike(model, given)

    def _unlike(self, model, given):
        hardness = {choice.salt: choice.difficulty for choice in self.plan.pool}
        total = sum(hardness[s] * n for hall in self.halls.values() for s, n in Counter(
            hall.salt_at.values()).items())
        everybody, off = len(self.plan.entrants), []
        for group, size in self.sizes.items():
            mine = sum(hardness[salt] * many for salt, many in given[group].items())
            off.append(model.new_int_var(0, max(hardness.values()), ""))
            bound = everybody * size * (off[-1] + ALIKE)
            model.add(everybody * mine - size * total <= bound)
            model.add(size * total - everybody * mine <= bound)
        return sum(off)

    def _by_chance(self, hall):
        """Deal to the candidates of a hall by chance; whether there was a way."""
        places = [(salt, copy) for salt, many in sorted(hall.left.items()) for copy in range(many)]
        picky = [one for one in hall.free if one.never or one.avoid]
        at = self._suited(picky, places, lambda one: {*one.never, *one.avoid})
        if at is None:
            at = self._suited(picky, places, lambda one: one.never)
        if at is None:
            return False
        seated = {one.number for one in at.values()}
        rest = [one for one in hall.free if one.number not in seated]
        empty = self.stream.shuffled(place for place in places if place not in at)
        self._note(hall, ((one, salt) for (salt, _copy), one in at.items()))
        self._note(hall, ((one, salt) for one, (salt, _copy) in zip(rest, empty, strict=True)))
        return True

    def _suited(self, people, places, unfit):
        return matched(people, places, lambda one, place: place[0] not in unfit(one), self.stream)

    def _hand_out(self, hall, numbers):
        for kind, people in hall.kinds.items():
            salts = [salt for salt in sorted(hall.left) for _each in range(numbers.get((kind, salt), 0))]
            self._note(hall, zip(self.stream.shuffled(people), salts, strict=True))

    def _note(self, hall, pairs):
        for one, salt in pairs:
            hall.salt_of[one.number] = salt
            self.got[one.group][salt] += 1


class _Shuffle:
    """Random exchanges between candidates of one hall that leave every rule and balance as well kept."""

    def __init__(self, dealer):
        self.dealer, self.got = dealer, dealer.got
        self.everybody = everybody = len(dealer.plan.entrants)
        self.limits = {
            (group, salt): limits(share * size / everybody)
            for group, size in dealer.sizes.items() for salt, share in dealer.share.items()
        }
        self.hardness = {choice.salt: choice.difficulty for choice in dealer.plan.pool}
        self.hard = {group: sum(self.hardness[salt] * many for salt, many in counted.items())
                     for group, counted in self.got.items()}
        self.total = sum(self.hard.values())
        self.stream, self.people = dealer.stream, {group: [] for group in dealer.sizes}
        for hall in dealer.halls.values():
            for one in hall.free:
                self.people[one.group].append((hall, one))

    def uneven(self):
        """How uneven the groups are, and how many got a salt better avoided, weighed as in the model."""
        if len(self.dealer.sizes) < 2:
            off = 0
        else:
            off = UNEVEN * sum(map(self._off, self.limits)) + self._unlike(*self.dealer.sizes)
        return off + AVOIDED * sum(
            hall.salt_of[one.number] in one.avoid for hall in self.dealer.halls.values() for one in hall.free)

    def run(self):
        """Exchanges where something is uneven, then many everywhere."""
        for _round in range(REPAIRS):
            bad = [cell for cell in self.limits if len(self.dealer.sizes) > 1 and self._off(cell)]
            if not bad:
                break
            for group, salt in bad:
                self._repair(group, salt)
        for hall in self.dealer.halls.values():
            size = len(hall.free)
            for _each in range(SWAPS_PER_CANDIDATE * size):
                one, other = divmod(self.stream.below(size * size), size)
                if one != other:
                    self._try(hall, hall.free[one], hall.free[other])

    def _repair(self, group, salt):
        """Exchanges for one group that has too much or too little of a salt, until it has not."""
        much = self.got[group][salt] > self.limits[group, salt][1]
        for hall, one in self.stream.shuffled(self.people[group]):
            if (hall.salt_of[one.number] == salt) != much:
                continue
            for _try in range(TRIES):
                other = hall.free[self.stream.below(len(hall.free))]
                if much or hall.salt_of[other.number] == salt:
                    self._try(hall, one, other)
                if not self._off((group, salt)):
                    return

    def _try(self, hall, one, other):
        mine, theirs = hall.salt_of[one.number], hall.salt_of[other.number]
        if mine == theirs or theirs in one.never or mine in other.never:
            return
        if (theirs in one.avoid) + (mine in other.avoid) > (mine in one.avoid) + (theirs in other.avoid):
            return
        if one.group != other.group and not self._as_even(one.group, other.group, mine, theirs):
            return
        hall.salt_of[one.number], hall.salt_of[other.number] = theirs, mine

    def _as_even(self, group, other, mine, theirs):
        """Whether the two groups stay as even when the first gives `mine` for `theirs`; then it is done."""
        cells = [(group, mine), (group, theirs), (other, mine), (other, theirs)]
        before = self._unlike(group, other), sum(map(self._off, cells))
        self._move(group, other, mine, theirs)
        after = self._unlike(group, other), sum(map(self._off, cells))
        if all(new <= old for new, old in zip(after, before, strict=True)):
            return True
        self._move(group, other, theirs, mine)
        return False

    def _unlike(self, *groups):
        return sum(unlike(self.hard[g], self.dealer.sizes[g], self.total, self.everybody) for g in groups)

    def _off(self, cell):
        low, high = self.limits[cell]
        number = self.got[cell[0]][cell[1]]
        return max(0, low - number, number - high)

    def _move(self, group, other, mine, theirs):
        self.got[group][mine] -= 1
        self.got[group][theirs] += 1
        self.got[other][theirs] -= 1
        self.got[other][mine] += 1
        self.hard[group] += self.hardness[theirs] - self.hardness[mine]
        self.hard[other] += self.hardness[mine] - self.hardness[theirs]
