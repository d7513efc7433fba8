"""What the draw is given and what it gives back, as plain records that can be kept as JSON."""

from dataclasses import dataclass, field, replace
from graphlib import TopologicalSorter

BLOCK = ((0, 0), (0, 1), (1, 0), (1, 1))


@dataclass(frozen=True, order=True)
class BenchAt:
    """A bench by row and column of its room."""

    row: int
    column: int
    label: str

    def beside(self, other):
        """Whether `other` is one of the eight places around this bench."""
        apart = max(abs(self.row - other.row), abs(self.column - other.column))
        return apart == 1


@dataclass(frozen=True)
class Hall:
    """One sitting: its name and the benches that are open in its room.

    `links` are groups of bench labels that count as neighbours across a gap (a shared sink); `left` are the
    labels of benches for left-handed candidates; only candidates who need it sit in a `separate` room.
    """

    name: str
    benches: tuple[BenchAt, ...]
    links: tuple[tuple[str, ...], ...] = ()
    left: tuple[str, ...] = ()
    separate: bool = False

    def meetings(self):
        """Every group of open benches that are all neighbours of each other; each pair is in one at least."""
        at = {bench.label: bench for bench in self.benches}
        linked = (tuple(at[label] for label in link if label in at) for link in self.links)
        return [*corners(self.benches), *(group for group in linked if len(group) > 1)]

    def neighbours(self):
        """Every pair of neighbouring benches, once."""
        return sorted({
            (one, other) for group in self.meetings() for one in group for other in group if one < other
        })


@dataclass(frozen=True)
class Entrant:
    """A candidate as the draw sees one: a number, wishes that bind, salts never given or better avoided."""

    number: str
    sitting: str = ""
    bench: str = ""
    avoid: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    group: str = ""
    separate: bool = False
    left: bool = False


@dataclass(frozen=True)
class Choice:
    """A specimen of the pool: cations that neighbours should not share, marks that they must not.

    `most` is the number of samples that the stock allows (None: no limit), `difficulty` in hundredths of a
    bit.
    """

    salt: str
    cations: tuple[str, ...]
    most: int | None = None
    marks: tuple[str, ...] = ()
    difficulty: int = 0


@dataclass(frozen=True)
class Plan:
    """All that the draw depends on besides its seed."""

    halls: tuple[Hall, ...]
    entrants: tuple[Entrant, ...]
    pool: tuple[Choice, ...]
    close: tuple[tuple[str, str], ...] = ()  # sittings close in time in one room: the earlier, the later

    def sorted(self):
        """The same plan in one fixed order, so that the order of typing has no influence."""
        return Plan(
            tuple(replace(hall, benches=tuple(sorted(hall.benches)))
                  for hall in sorted(self.halls, key=lambda hall: hall.name)),
            tuple(sorted(self.entrants, key=lambda entrant: entrant.number)),
            tuple(sorted(self.pool, key=lambda choice: choice.salt)),
            tuple(sorted(self.close)),
        )

    def roster_json(self):
        """The candidates as JSON: numbers, wishes and needs, no names, so that names can be erased later."""
        return [
            [one.number, one.sitting, one.bench, sorted(one.avoid), sorted(one.never), one.group,
             one.separate, one.left]
            for one in self.sorted().entrants
        ]

    def pool_json(self):
        """The pool as JSON: each specimen with all that the rules ask of it."""
        return [
            [one.salt, sorted(one.cations), one.most, sorted(one.marks), one.difficulty]
            for one in self.sorted().pool
        ]

    def rooms_json(self):
        """The sittings as JSON, each with its open benches, and those that are close in time."""
        plan = self.sorted()
        halls = [
            [hall.name, [[b.row, b.column, b.label] for b in hall.benches],
             [list(link) for link in hall.links], list(hall.left), hall.separate]
            for hall in plan.halls
        ]
        return [halls, [list(pair) for pair in plan.close]]

    def as_json(self):
        """The whole plan as JSON."""
        return {"rooms": self.rooms_json(), "roster": self.roster_json(), "pool": self.pool_json()}

    @classmethod
    def from_json(cls, kept):
        """The plan that `as_json` has written."""
        halls, close = kept["rooms"]
        return cls(
            tuple(_hall(*hall) for hall in halls),
            tuple(Entrant(number, sitting, bench, tuple(avoid), tuple(never), *rest)
                  for number, sitting, bench, avoid, never, *rest in kept["roster"]),
            tuple(Choice(salt, tuple(cations), most, tuple(marks), difficulty)
                  for salt, cations, most, marks, difficulty in kept["pool"]),
            tuple((earlier, later) for earlier, later in close),
        )


def _hall(name, benches, links, left, separate):
    return Hall(name, tuple(BenchAt(*bench) for bench in benches), tuple(tuple(link) for link in links),
                tuple(left), separate)


@dataclass(frozen=True)
class Seat:
    """The result for one candidate."""

    number: str
    sitting: str
    bench: str
    salt: str


@dataclass(frozen=True)
class Draw:
    """A whole draw: every candidate's seat, and how well the rules were kept."""

    seats: tuple[Seat, ...]
    method: str  # "by sitting", "as one" or "fewest shared cations"
    proven: bool  # whether nothing better exists under the rules
    shared_cations: tuple[tuple[str, str, str], ...] = ()  # sitting, bench, bench
    not_avoided: tuple[tuple[str, str], ...] = ()  # number, salt
    counts: dict[str, int] = field(default_factory=dict, hash=False)
    uneven: int = 0  # the most frequent salt less the least frequent, whole exam
    uneven_in_sitting: int = 0  # the same, in the sitting where it is largest
    gap: tuple[tuple[str, int, int], ...] = ()  # what is not proven best: measure, reached, bound
    balance: dict[str, int] = field(default_factory=dict, hash=False)  # the measures of `balance`

    def seats_json(self):
        """The seats as JSON, by candidate's number."""
        return [[s.number, s.sitting, s.bench, s.salt] for s in sorted(self.seats, key=lambda s: s.number)]


def corners(benches):
    """Every corner where two to four benches meet; each pair of neighbours meets at one at least."""
    at = {(bench.row, bench.column): bench for bench in benches}
    tops = sorted({(bench.row - down, bench.column - right) for bench in benches for down, right in BLOCK})
    meeting = [
        tuple(at[row + down, column + right] for down, right in BLOCK if (row + down, column + right) in at)
        for row, column in tops
    ]
    return [group for group in meeting if len(group) > 1]


def most_apart(benches):
    """At most so many benches, no two of them neighbours (a bound: the fewest two-by-two blocks that cover
    all)."""
    return (
        min(
            len({((bench.row + down) // 2, (bench.column + right) // 2) for bench in benches})
            for down, right in BLOCK
        )
        if benches
        else 0
    )


def in_order_of_time(plan):
    """The halls so that of two sittings close in time the earlier comes first."""
    earlier = {hall.name: {one for one, later in plan.close if later == hall.name} for hall in plan.halls}
    order = list(TopologicalSorter(earlier).static_order())
    by_name = {hall.name: hall for hall in plan.halls}
    return [by_name[name] for name in order if name in by_name]
