"""At which looks of a test a reagent decides: without it the outcome would not be there; pure."""

from dataclasses import dataclass
from functools import lru_cache

from examkit.chemistry.vessel import operations_of

PUT_IN = ("add", "pass")
FROM_ANEW = ("solid", "original solution", "extract", "tube")
DRY = "dry"  # what is fused or held into a flame there helps, unless the test is named after it
LAST, BESIDE = 0, 1  # the last that went in before the look; one of several that it takes


@dataclass(frozen=True)
class Tube:
    """What stands in a tube when somebody looks: the portion that it began with, and what went in."""

    facet: str
    step: str
    portion: str
    course: tuple[str, ...]
    own: bool = False  # a way of working of its own, as each confirmation is

    def is_part_of(self, other, reagent):
        """Whether the other tube holds all that this one does, and the reagent, which this one has not."""
        left = {*other.course} - {reagent}
        return self.portion == other.portion and reagent not in self.course and {*self.course} <= left


@dataclass(frozen=True)
class Deciding:
    """A look at which a reagent decides: how surely (`LAST` or `BESIDE`)."""

    tube: Tube
    sure: int

    @property
    def others(self):
        """How many other reagents went in."""
        return len({*self.tube.course}) - 1


@lru_cache(maxsize=8192)
def decides(kb, stage, reagent):
    """The looks of a stage's test at which a reagent (by key) decides, in the order of the work.

    The last that went in before a look decides. Of those before it one does that is no mere acid, base or
    solvent (`medium`) and that the way of working is there for: a way of its own, or one that is named after
    it.
    """
    found = ((tube, _how_sure(kb.tests[stage.test], tube, kb.reagents[reagent]))
             for tube in tubes(kb, stage, reagent))
    return tuple(Deciding(tube, sure) for tube, sure in found if sure is not None)


@lru_cache(maxsize=8192)
def tubes(kb, stage, reagent=""):
    """The Tube of every look of a stage's test; a second way counts only where it is the reagent's own."""
    ways = operations_of(kb.tests[stage.test], stage)
    return tuple(tube for way, operations in ways.items() for tube in _of_way(kb, way, operations, reagent))


def named(reagent, outcomes):
    """Whether one of these outcomes tells what the reagent did, as it does of a paper held into a gas."""
    said = " ".join(outcome.also_seen or "" for outcome in outcomes)
    return any(words in said for words in reagent.told_as)


def same(outcome, other):
    """Whether somebody who sees the other outcome sees all that is in this one."""
    alike = (outcome.event, outcome.gas) == (other.event, other.gas)
    told = (outcome.also_seen or "") in (other.also_seen or "")
    return alike and told and (not outcome.colours or bool({*outcome.colours} & {*other.colours}))


def is_named_after(reagent, title):
    """Whether a title has all words of the reagent's name, its strength and form left out."""
    words = reagent.name.split(",")[0].split("(")[0].split()
    return {word.casefold() for word in words} <= {word.strip(",.:").casefold() for word in title.split()}


def _of_way(kb, way, operations, reagent):
    portion, course = "", []
    for operation in operations:
        if operation.do == "take" and operation.what in FROM_ANEW:
            portion, course = operation.what, []
        elif operation.do == "look":
            facet = operation.facet or way or "tube"
            yield Tube(facet, operation.step, portion, tuple(course), bool(way))
        elif operation.what and _goes_in(kb, operation, reagent):
            course.append(operation.what)


def _goes_in(kb, operation, reagent):
    if (operation.optional or operation.instead_of) and operation.what != reagent:
        return False
    if operation.do == "test":  # a paper, or a drop on the residue: what touches the gas alone tells by name
        return not kb.reagents[operation.what].told_as
    return operation.do in PUT_IN


def _how_sure(test, tube, reagent):
    if reagent.key not in tube.course:
        return None
    titles = (test.title, test.facets[tube.facet].title)
    own = tube.own or any(is_named_after(reagent, title) for title in titles)
    if tube.course[-1] == reagent.key and (test.stage != DRY or own):
        return LAST
    return BESIDE if own and not reagent.medium else None
