"""What the tests of a scheme are worth for a pool, and how difficult each salt of it is."""

from collections import Counter
from dataclasses import dataclass
from itertools import combinations
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
    """The worth of every test in bits: by itself, and what it adds to all tests before it.

    The bits of some tests are the mean, over the specimens, of log2(pool / specimens they do not part from
    it): Shannon's entropy, but for what looks alike without being the same (a pale yellow passes for white
    and for yellow). A test that is not done on a specimen does not part it from any.
    """
    same, tests = same_for(kb, vision), tuple(courses[0].tests) if courses else ()
    found, so_far = [], set()
    for test in tests:
        parts = {pair for pair in combinations(courses, 2) if parted(*pair, test, same)}
        gain = _bits(courses, so_far | parts) - _bits(courses, so_far)
        found.append(TestWorth(test, _bits(courses, parts), gain))
        so_far |= parts
    return tuple(found)


def _bits(courses, parted_pairs):
    """The information, in bits, of knowing which of these pairs are parted."""
    parts = Counter(course for pair in parted_pairs for course in pair)
    return sum(log2(len(courses) / (len(courses) - parts[course])) for course in courses) / len(courses)


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
