"""The pool compared: where each two salts part, what each test is worth, how hard each salt is to find."""

from dataclasses import dataclass
from functools import lru_cache

from examkit.chemistry.formula import pretty
from examkit.chemistry.parting import Pair, hanging
from examkit.chemistry.worth import Difficulty, TestWorth, difficulty, worth
from examkit.knowledge import knowledge
from examkit.planning.selectors.expected import course_of, pairs_of


@dataclass(frozen=True)
class Step:
    """A test of the scheme with its number on the page and what it is worth for the pool."""

    number: int
    test: object
    worth: TestWorth


@dataclass(frozen=True)
class Cell:
    """A pair in the table: the step at which it parts first, or none; whether by hue alone."""

    pair: Pair
    step: Step | None

    @property
    def hue(self):
        """Whether nothing but colour parts the two."""
        return self.pair.by_colour_alone


@dataclass(frozen=True)
class Row:
    """A salt of the pool: its name set, its cells against the salts before it, its difficulty."""

    salt: str
    shown: str
    cells: tuple[Cell, ...]
    difficulty: Difficulty


@dataclass(frozen=True)
class Comparison:
    """A pool as eyes of one vision can tell it apart by one scheme."""

    vision: str
    steps: tuple[Step, ...]
    rows: tuple[Row, ...]
    hanging: tuple[Pair, ...]
    lost: tuple[Pair, ...]  # told apart by usual eyes, not by these

    @property
    def cells(self):
        """Every pair once."""
        return [cell for row in self.rows for cell in row.cells]

    @property
    def alike(self):
        """The pairs that the scheme cannot tell apart."""
        return [cell.pair for cell in self.cells if cell.step is None]

    @property
    def by_colour_alone(self):
        """The pairs that nothing but colour parts."""
        return [cell.pair for cell in self.cells if cell.hue]

    @property
    def if_seen(self):
        """The pairs that hang on a marginal result, with the titles of the tests where it must come out."""
        return [(pair, [self.title(test) for test in pair.tests]) for pair in self.hanging]

    @property
    def marginal(self):
        """The salts with a marginal result somewhere, each with the titles of those tests."""
        rows = (row for row in self.rows if row.difficulty.marginal)
        return [(row, [self.title(test) for test in row.difficulty.marginal]) for row in rows]

    @property
    def stages(self):
        """The stages after which look-alikes are counted, in the order of work."""
        return [stage for stage, _left in self.rows[0].difficulty.look_alikes]

    @property
    def hardest_first(self):
        """The rows by difficulty."""
        return sorted(self.rows, key=lambda row: (-row.difficulty.number, row.salt))

    def title(self, test):
        """The title of a test."""
        return next(step.test.title for step in self.steps if step.test.id == test)

    def against(self, salt):
        """One salt against each other of the pool: (other, titles of the tests that part them)."""
        pairs = [cell.pair for cell in self.cells if salt in (cell.pair.one, cell.pair.other)]
        return [
            (pair.other if pair.one == salt else pair.one, [self.title(test) for test in pair.tests], pair)
            for pair in pairs
        ]


def comparison(exam, vision="usual"):
    """The pool of an exam compared by its scheme, for eyes of this vision; None for fewer than two salts."""
    kb = knowledge(exam.centre)
    pool = tuple(sorted(exam.pool.values_list("formula", flat=True)))
    return _compared(kb, kb.schemes[exam.scheme], pool, vision) if len(pool) > 1 else None


def difficulties(exam, formulas):
    """How difficult each of these salts is among them, in whole hundredths of a bit."""
    kb, pool = knowledge(exam.centre), tuple(sorted(formulas))
    if len(pool) < 2:
        return dict.fromkeys(pool, 0)
    compared = _compared(kb, kb.schemes[exam.scheme], pool, "usual")
    return {row.salt: round(100 * row.difficulty.number) for row in compared.rows}


@lru_cache(maxsize=40)
def _compared(kb, scheme, pool, vision):
    courses = [course_of(kb, scheme, salt) for salt in pool]
    pairs = pairs_of(kb, scheme, pool, vision)
    steps = tuple(
        Step(number, kb.tests[each.test], each)
        for number, each in enumerate(worth(kb, courses, vision), start=1)
    )
    stage_of = {step.test.id: step.test.stage for step in steps}
    hard = {each.name: difficulty(kb, stage_of, courses, pairs, each, vision) for each in courses}
    lost = _lost(pairs_of(kb, scheme, pool), pairs)
    return Comparison(vision, steps, _rows(pool, pairs, steps, hard), hanging(kb, courses, vision), lost)


def _rows(pool, pairs, steps, hard):
    by_test = {step.test.id: step for step in steps}
    cells = {(pair.one, pair.other): Cell(pair, by_test.get(pair.first)) for pair in pairs}
    return tuple(
        Row(salt, pretty(salt), tuple(cells[before, salt] for before in pool[:place]), hard[salt])
        for place, salt in enumerate(pool)
    )


def _lost(usual, these):
    return tuple(seen for seen, left in zip(usual, these, strict=True) if seen.tests and not left.tests)
