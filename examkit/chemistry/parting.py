"""Where the scheme parts two specimens: test by test, whether what they show can be told from one another."""

from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from examkit.chemistry.bench import walk
from examkit.chemistry.equilibria.near import doubtful
from examkit.chemistry.vision import alike_in_grey, same_for

HUES = ("flame", "bead", "colour")  # events of which nothing is left where hues do not count


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
    """Two specimens, the tests that part them in the order of the scheme, and those that need no hue."""

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
    doubts = doubtful(kb, scheme, specimen)
    tests = {
        visit.test.id: _showings(visit, doubts) if visit.done else None
        for visit in walk(kb, scheme, specimen)
    }
    return Course(name or " + ".join(salt.formula for salt in specimen.salts), tests)


def _showings(visit, doubts):
    """What is seen by facet; marginal by the fact itself, or by the amounts of the specimen."""
    return {
        sight.facet: Showing(
            (_kept(sight.seen), *(_kept(a.seen) for a in sight.also)),
            sight.margin == "marginal" or (visit.test.id, sight.facet) in doubts,
        )
        for sight in visit.sights
    }


def _kept(outcomes):
    """Outcomes by step; steps at which nothing is seen are left out."""
    return {outcome.step: outcome for outcome in outcomes if outcome.seen}


def parting_table(kb, courses, vision="usual"):
    """Every pair of courses with the tests that part it, as eyes of this vision tell colours apart."""
    same, grey = same_for(kb, vision), partial(alike_in_grey, kb)
    hueless = {course: _without_hue(course) for course in courses}
    return tuple(
        Pair(
            one.name,
            other.name,
            tuple(test for test in one.tests if parted(one, other, test, same)),
            tuple(test for test in one.tests if parted(hueless[one], hueless[other], test, grey)),
        )
        for one, other in combinations(courses, 2)
    )


def hanging(kb, courses, vision="usual"):
    """The pairs that only a marginal result parts, each with the tests where it must come out to do so."""
    sure = parting_table(kb, courses, vision)
    if_seen = parting_table(kb, [_firm(course) for course in courses], vision)
    return tuple(hoped for pair, hoped in zip(sure, if_seen, strict=True) if hoped.tests and not pair.tests)


def parted(one, other, test, same):
    """Whether two courses surely differ in a test; `same` compares colour words."""
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
    if option.keys() != another.keys():
        return False
    return all(_same_outcome(option[step], another[step], same) for step in option)


def _same_outcome(outcome, another, same):
    if outcome.event != another.event or (outcome.gas and another.gas and outcome.gas != another.gas):
        return False
    if not outcome.colours or not another.colours:
        return True
    return any(same(word, other) for word in outcome.colours for other in another.colours)


def _firm(course):
    """The course with every marginal result coming out."""
    return _changed(course, lambda showing: replace(showing, marginal=False))


def _without_hue(course):
    """The course without what is nothing but a hue."""
    return _changed(course, lambda showing: replace(showing, options=tuple(map(_no_hue, showing.options))))


def _changed(course, change):
    tests = {
        test: shown and {facet: change(showing) for facet, showing in shown.items()}
        for test, shown in course.tests.items()
    }
    return Course(course.name, tests)


def _no_hue(option):
    return {step: outcome for step, outcome in option.items() if outcome.event not in HUES}
