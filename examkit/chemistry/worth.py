"""What the tests of a scheme are worth for a pool, and how difficult each salt of it is."""

from collections import Counter
from dataclasses import dataclass
from math import log2

from examkit.chemistry.parting import parted
from examkit.chemistry.vision import same_for


@dataclass(frozen=True)
class TestWorth:
    """The information a test brings for a pool of equally likely specimens: alone, and in its turn."""

    __test__ = False

    test: str
    bits: float
    bits_in_turn: float


@dataclass(frozen=True)
class Difficulty:
    """How hard a specimen is to find in its pool, with the parts of the number."""

    name: str
    tests_needed: int
    look_alikes: tuple[tuple[str, int], ...]  # stage, how many of the pool still look the same after it
    marginal: tuple[str, ...]
    by_colour_alone: int
    number: float


def worth(kb, courses, vision="usual"):
    """The worth of every test in bits: by itself, and what it adds to all tests before it."""
    same, tests = same_for(kb, vision), tuple(courses[0].tests) if courses else ()
    found, before = [], 0.0
    for index, test in enumerate(tests):
        after = _bits(courses, tests[: index + 1], same)
        found.append(TestWorth(test, _bits(courses, (test,), same), after - before))
        before = after
    return tuple(found)


def _bits(courses, tests, same):
    """Entropy, in bits, of the classes that these tests make out of the courses."""
    classes = Counter(_classes(courses, tests, same))
    return sum(-n / len(courses) * log2(n / len(courses)) for n in classes.values())


def _classes(courses, tests, same):
    """A class number for each course: those that no test parts, directly or by a chain, share one."""
    number = list(range(len(courses)))
    for i, one in enumerate(courses):
        for j in range(i):
            if number[i] != number[j] and not any(parted(one, courses[j], test, same) for test in tests):
                old, new = number[i], number[j]
                number = [new if n == old else n for n in number]
    return number


def difficulty(kb, stage_of, courses, pairs, this, vision="usual"):
    """How difficult the course `this` is among `courses`; `stage_of` maps a test to its stage.

    The number adds, in bits: for each stage, log2(1 + look-alikes left after it); twice the same at the end;
    half a bit for each test whose result is marginal; a quarter for each other that only colour parts off.
    """
    same = same_for(kb, vision)
    others = [other for other in courses if other is not this]
    left, by_stage, needed = others, {}, 0
    for test in this.tests:
        still = [other for other in left if not parted(this, other, test, same)]
        needed += len(still) < len(left)
        left = by_stage[stage_of[test]] = still
    marginal = tuple(
        t for t, shown in this.tests.items() if shown and any(s.marginal for s in shown.values())
    )
    colour = sum(pair.by_colour_alone for pair in pairs if this.name in (pair.one, pair.other))
    stages = tuple((stage, len(still)) for stage, still in by_stage.items())
    number = sum(log2(1 + n) for _stage, n in stages) + 2 * log2(1 + len(left))
    return Difficulty(this.name, needed, stages, marginal, colour, number + len(marginal) / 2 + colour / 4)
