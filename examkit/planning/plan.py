"""What the draw is given and what it gives back, as plain records that can be kept as JSON."""

from dataclasses import dataclass, field

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
    """One sitting: its name and the benches that are open in its room."""

    name: str
    benches: tuple[BenchAt, ...]


@dataclass(frozen=True)
class Entrant:
    """A candidate as the draw sees one: a number, wishes that bind, and salts better avoided."""

    number: str
    sitting: str = ""
    bench: str = ""
    avoid: tuple[str, ...] = ()


@dataclass(frozen=True)
class Choice:
    """A specimen of the pool and the cations that neighbours should not share."""

    salt: str
    cations: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """All that the draw depends on besides its seed."""

    halls: tuple[Hall, ...]
    entrants: tuple[Entrant, ...]
    pool: tuple[Choice, ...]

    def sorted(self):
        """The same plan in one fixed order, so that the order of typing has no influence."""
        return Plan(
            tuple(
                Hall(hall.name, tuple(sorted(hall.benches)))
                for hall in sorted(self.halls, key=lambda h: h.name)
            ),
            tuple(sorted(self.entrants, key=lambda entrant: entrant.number)),
            tuple(sorted(self.pool, key=lambda choice: choice.salt)),
        )

    def roster_json(self):
        """The candidates as JSON: numbers and wishes, no names, so that names can be erased later."""
        return [[one.number, one.sitting, one.bench, sorted(one.avoid)] for one in self.sorted().entrants]

    def pool_json(self):
        """The pool as JSON: each specimen with its cations."""
        return [[choice.salt, sorted(choice.cations)] for choice in self.sorted().pool]

    def rooms_json(self):
        """The sittings as JSON, each with its open benches."""
        return [
            [hall.name, [[b.row, b.column, b.label] for b in hall.benches]] for hall in self.sorted().halls
        ]

    def as_json(self):
        """The whole plan as JSON."""
        return {"rooms": self.rooms_json(), "roster": self.roster_json(), "pool": self.pool_json()}

    @classmethod
    def from_json(cls, kept):
        """The plan that `as_json` has written."""
        return cls(
            tuple(Hall(name, tuple(BenchAt(*bench) for bench in benches)) for name, benches in kept["rooms"]),
            tuple(
                Entrant(number, sitting, bench, tuple(avoid))
                for number, sitting, bench, avoid in kept["roster"]
            ),
            tuple(Choice(salt, tuple(cations)) for salt, cations in kept["pool"]),
        )


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
