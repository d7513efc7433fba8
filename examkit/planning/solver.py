"""The exact part of the draw: models for the CP-SAT constraint solver, always with one worker and a seed.

Limits are in the solver's deterministic time, never in seconds, so that a slow machine draws the same.
"""

from dataclasses import dataclass
from importlib.metadata import version
from itertools import combinations

ROOM_LIMIT = 1.0  # deterministic time for the benches of one sitting
WHOLE_LIMIT = 4.0  # deterministic time for a model of the whole exam
NOISE = 1000  # random preferences between equally good counts lie below this


@dataclass(frozen=True)
class Kind:
    """What is placed on a bench: one salt, or a family of salts with the same cations."""

    key: object
    cations: tuple[str, ...]
    salts: tuple[str, ...]
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Placed:
    """A solution: kind by (hall name, bench label), and whether nothing better exists."""

    kinds: dict
    proven: bool


def solve(model, stream, limit):
    """Solver and whether it found anything; the search depends on model and seed alone."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = stream.below(2**31 - 1)
    solver.parameters.max_deterministic_time = limit
    status = solver.solve(model)
    return solver, status in (cp_model.OPTIMAL, cp_model.FEASIBLE), status == cp_model.OPTIMAL


def solver_version():
    """Name and version of the solver: kept with each draw, since another may find another solution."""
    return f"ortools {version('ortools')}"


def new_model():
    """An empty model (the library is imported only when a draw is made: it takes a third of a second)."""
    from ortools.sat.python import cp_model

    return cp_model.CpModel()


class Layout:
    """Kinds on the benches of one or more halls, as a model under construction."""

    def __init__(self, halls, members, kinds, stream, barred=None):
        self.barred = barred or {}  # (hall name, bench label) -> salts that must not stand there
        self.model = new_model()
        self.stream = stream
        self.halls, self.members, self.kinds = halls, members, kinds
        order = [(hall, bench, kind) for hall in halls for bench in hall.benches for kind in kinds]
        self.here = {
            (hall.name, bench.label, kind.key): self.model.new_bool_var("")
            for hall, bench, kind in stream.shuffled(order)
        }
        self._fill_halls()
        self._keep_marks_apart()
        self._keep_barred_off()

    def at(self, hall, bench, kinds=None):
        """The choices of one bench."""
        return [self.here[hall.name, bench.label, kind.key] for kind in kinds or self.kinds]

    def number(self, hall, kind):
        """How often a kind stands in a hall, as an expression."""
        return sum(self.here[hall.name, bench.label, kind.key] for bench in hall.benches)

    def _fill_halls(self):
        """One kind at most on a bench, as many benches in use as candidates, a kind on each bench asked
        for."""
        for hall in self.halls:
            asked = {one.bench for one in self.members[hall.name]}
            for bench in hall.benches:
                if bench.label in asked:
                    self.model.add_exactly_one(self.at(hall, bench))
                else:
                    self.model.add_at_most_one(self.at(hall, bench))
            self.model.add(
                sum(self.number(hall, kind) for kind in self.kinds) == len(self.members[hall.name])
            )

    def _keep_marks_apart(self):
        """Neighbours never have a mark in common, whatever else gives way."""
        marked = {}
        for kind in self.kinds:
            for mark in kind.marks:
                marked.setdefault(mark, []).append(kind)
        for hall in self.halls if marked else ():
            for group in hall.meetings():
                for kinds in marked.values():
                    self.model.add_at_most_one(v for bench in group for v in self.at(hall, bench, kinds))

    def _keep_barred_off(self):
        """No kind on a bench where each of its salts is barred."""
        for (hall, bench), salts in self.barred.items():
            for kind in self.kinds:
                if set(kind.salts) <= set(salts) and (hall, bench, kind.key) in self.here:
                    self.model.add(self.here[hall, bench, kind.key] == 0)

    def never_the_same_on(self, close):
        """In sittings close in time a bench never has the same salt (for kinds of one salt)."""
        benches = {hall.name: {bench.label for bench in hall.benches} for hall in self.halls}
        for earlier, later in close:
            for label in sorted(benches[earlier] & benches[later]):
                for kind in self.kinds:
                    if len(kind.salts) == 1:
                        both = [self.here[name, label, kind.key] for name in (earlier, later)]
                        self.model.add_at_most_one(both)

    def within_stock(self, most):
        """No salt oftener than the stock allows: `most` by salt."""
        for kind in self.kinds:
            if any(salt in most for salt in kind.salts):
                limit = sum(most.get(salt, 10**6) for salt in kind.salts)
                self.model.add(sum(self.number(hall, kind) for hall in self.halls) <= limit)

    def never_beside_itself(self):
        """Neighbours never have the same kind."""
        for hall in self.halls:
            for group in hall.meetings():
                for kind in self.kinds:
                    self.model.add_at_most_one(self.here[hall.name, bench.label, kind.key] for bench in group)

    def never_crowded(self):
        """At a corner never more benches of one family than the family has salts."""
        for hall in self.halls:
            for group in hall.meetings():
                for kind in self.kinds:
                    if len(kind.salts) < len(group):
                        here = sum(self.here[hall.name, bench.label, kind.key] for bench in group)
                        self.model.add(here <= len(kind.salts))

    def never_sharing(self):
        """Neighbours never have a cation in common."""
        for hall in self.halls:
            for group in hall.meetings():
                for kinds in with_cation(self.kinds).values():
                    self.model.add_at_most_one(v for bench in group for v in self.at(hall, bench, kinds))

    def sharing(self):
        """For each hall one variable per pair of neighbours, true where the two have a cation in common."""
        shared = {hall.name: [] for hall in self.halls}
        by_cation = with_cation(self.kinds)
        for hall in self.halls:
            for one, other in hall.neighbours():
                both = self.model.new_bool_var("")
                shared[hall.name].append(both)
                for kinds in by_cation.values():
                    self.model.add(
                        sum(self.at(hall, one, kinds)) + sum(self.at(hall, other, kinds)) <= 1 + both
                    )
            self._shared_at_corners(hall, dict(zip(hall.neighbours(), shared[hall.name], strict=True)))
        return shared

    def _shared_at_corners(self, hall, both):
        """More benches in use at a corner than families: so many pairs share at least (follows; shortens
        the proof)."""
        if sum(len(kind.cations) for kind in self.kinds) > len(with_cation(self.kinds)):
            return  # families that overlap: the sum would say too much
        for group in hall.meetings():
            pairs = sum(both[pair] for pair in combinations(sorted(group), 2))
            in_use = sum(sum(self.at(hall, bench)) for bench in group)
            self.model.add(pairs >= in_use - len(self.kinds))

    def start_from(self, kinds):
        """Tell the solver a placement to begin with."""
        for (hall, bench, key), var in self.here.items():
            self.model.add_hint(var, kinds.get((hall, bench)) == key)

    def unmet(self):
        """The choices on benches asked for by somebody that would give them a salt they should avoid."""
        wrong = []
        for hall in self.halls:
            for one in self.members[hall.name]:
                if one.bench and one.avoid:
                    bad = [kind for kind in self.kinds if set(kind.salts) <= set(one.avoid)]
                    wrong += [self.here[hall.name, one.bench, kind.key] for kind in bad]
        return wrong

    def deviation(self, hall, wanted):
        """How far the numbers of the kinds in a hall lie from the wanted ones, as an expression."""
        apart = []
        for kind in self.kinds:
            apart.append(self.model.new_int_var(0, len(hall.benches), ""))
            number = self.number(hall, kind)
            self.model.add_abs_equality(apart[-1], number - wanted[kind.key])
        return sum(apart)

    def unevenness(self):
        """Most less fewest of a salt, in the exam (weighs more) and in each hall, as an expression to keep
        small."""
        everywhere = {kind: sum(self.number(hall, kind) for hall in self.halls) for kind in self.kinds}
        total = sum(len(self.members[hall.name]) for hall in self.halls)
        worst = len(self.halls) * self._gap(everywhere, total)
        if len(self.halls) == 1:
            return worst
        return worst + sum(
            self._gap({kind: self.number(hall, kind) for kind in self.kinds}, len(self.members[hall.name]))
            for hall in self.halls
        )

    def _gap(self, number_of, total):
        most, fewest = self.model.new_int_var(0, total, ""), self.model.new_int_var(0, total, "")
        for kind, number in number_of.items():
            self.model.add(number <= most * len(kind.salts))
            self.model.add(number >= fewest * len(kind.salts))
        if total % sum(len(kind.salts) for kind in number_of):
            self.model.add(most > fewest)  # said aloud, it spares the solver a long proof
        return most - fewest

    def numbers(self, placed):
        """How often each kind stands in each hall of a solution."""
        number = {(hall.name, kind.key): 0 for hall in self.halls for kind in self.kinds}
        for (hall, _bench), key in placed.kinds.items():
            number[hall, key] += 1
        return number

    def solve(self, limit):
        """The kinds on the benches, or None where there is no way (or none was found within the limit)."""
        solver, found, proven = solve(self.model, self.stream, limit)
        if not found:
            return None
        chosen = {(hall, bench): key for (hall, bench, key), var in self.here.items() if solver.value(var)}
        return Placed(dict(sorted(chosen.items())), proven)


def with_cation(kinds):
    """The kinds that hold each cation."""
    found = {}
    for kind in kinds:
        for cation in kind.cations:
            found.setdefault(cation, []).append(kind)
    return found


def tiled(hall, members, kinds, stream):
    """A placement that always works with four salts or more, to begin a search with.

    Columns take one or the other two of four kinds, alternating downwards: no bench has its own kind
    beside it.
    """
    four = _four_apart(kinds)
    if len(four) < 4 or hall.links or any(kind.marks for kind in kinds):
        return {}
    start = stream.below(2), stream.below(2)
    asked = {one.bench for one in members}
    used = sorted(hall.benches, key=lambda bench: (bench.label not in asked, bench))[: len(members)]
    return {
        (hall.name, b.label): four[2 * (b.column % 2) + (b.row + b.column // 2 + start[b.column % 2]) % 2].key
        for b in used
    }


def _four_apart(kinds):
    """Four kinds, without a cation in common as far as can be; a family of several salts may stand more
    than once."""
    four, left = [], {kind.key: len(kind.salts) for kind in kinds}
    for kind in kinds:
        if len(four) < 4 and all(set(kind.cations).isdisjoint(other.cations) for other in four):
            four.append(kind)
            left[kind.key] -= 1
    spare = [kind for kind in kinds for _salt in range(left[kind.key])]
    return (four + spare)[:4]


def families(pool):
    """The pool by equal cations and marks: whichever salt of a family stands on a bench, its neighbours'
    rules are the same."""
    members = {}
    for choice in pool:
        key = tuple(sorted(choice.cations)), tuple(sorted(choice.marks))
        members.setdefault(key, []).append(choice.salt)
    return [Kind(key, key[0], tuple(salts), key[1]) for key, salts in members.items()]


def single_salts(pool):
    """The pool as kinds of one salt each."""
    return [
        Kind(one.salt, tuple(sorted(one.cations)), (one.salt,), tuple(sorted(one.marks))) for one in pool
    ]
