"""Where the scheme parts two specimens: test by test, whether what they show can be told from one another."""

from dataclasses import dataclass
from functools import partial
from itertools import combinations

from examkit.chemistry.bench import walk
from examkit.chemistry.colours import agree
from examkit.chemistry.vision import look_alike

COLOURLESS_EVENTS = ("flame", "bead", "colour")  # nothing is left of these where colours do not count


@dataclass(frozen=True)
class Showing:
    """What a specimen may show in one facet: its main outcomes, then each that is also accepted."""

    options: tuple
    marginal: bool


@dataclass(frozen=True, eq=False)
class Course:
    """A specimen's way through a scheme: by test what it shows by facet, or None where it is not done."""

    name: str
    tests: dict[str, dict[str, Showing] | None]


@dataclass(frozen=True)
class Pair:
    """Two specimens, the tests that part them in the order of the scheme, and those that need no colour."""

    one: str
    other: str
    tests: tuple[str, ...]
    without_colour: tuple[str, ...]

    @property
    def first(self):
        """The first test that parts them, or None where the scheme cannot."""
        return self.tests[0] if self.tests else None

    @property
    def by_colour_alone(self):
        """Whether nothing but colour parts them."""
        return bool(self.tests) and not self.without_colour


def course(kb, scheme, specimen, name=""):
    """The course of a specimen; its name is the formula of its salts unless another is given."""
    tests = {visit.test.id: _showings(visit) if visit.done else None for visit in walk(kb, scheme, specimen)}
    return Course(name or " + ".join(salt.formula for salt in specimen.salts), tests)


def _showings(visit):
    return {
        sight.facet: Showing(
            (_kept(sight.seen), *(_kept(a.seen) for a in sight.also)), sight.margin == "marginal"
        )
        for sight in visit.sights
    }


def _kept(outcomes):
    """Outcomes by step; steps at which nothing is seen are left out."""
    return {outcome.step: outcome for outcome in outcomes if outcome.seen}


def parting_table(kb, courses, vision="usual"):
    """Every pair of courses with the tests that part it, as eyes of this vision tell colours apart."""
    same = partial(look_alike, kb, vision=vision) if vision != "usual" else partial(agree, kb)
    return tuple(
        Pair(
            one.name,
            other.name,
            tuple(test for test in one.tests if parted(one, other, test, same)),
            tuple(test for test in one.tests if parted(one, other, test, None)),
        )
        for one, other in combinations(courses, 2)
    )


def parted(one, other, test, same):
    """Whether two courses surely differ in a test; `same` compares colour words (None: no colours)."""
    mine, theirs = one.tests[test], other.tests[test]
    if mine is None or theirs is None:
        return False  # that one is not done follows from something seen before
    nothing = Showing(({},), False)
    return any(
        not _overlap(mine.get(facet, nothing), theirs.get(facet, nothing), same) for facet in {*mine, *theirs}
    )


def _overlap(mine, theirs, same):
    """Whether some outcome of the one passes for some outcome of the other; a marginal one may be nothing."""
    ours = (*mine.options, {}) if mine.marginal else mine.options
    others = (*theirs.options, {}) if theirs.marginal else theirs.options
    return any(_alike(option, another, same) for option in ours for another in others)


def _alike(option, another, same):
    if same is None:
        option, another = _without_colour(option), _without_colour(another)
    if option.keys() != another.keys():
        return False
    return all(_same_outcome(option[step], another[step], same) for step in option)


def _without_colour(option):
    return {step: outcome for step, outcome in option.items() if outcome.event not in COLOURLESS_EVENTS}


def _same_outcome(outcome, another, same):
    if outcome.event != another.event or (outcome.gas and another.gas and outcome.gas != another.gas):
        return False
    if same is None or not outcome.colours or not another.colours:
        return True
    return any(same(word, other) for word in outcome.colours for other in another.colours)
