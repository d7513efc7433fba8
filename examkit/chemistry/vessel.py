"""What stands in one tube, operation by operation: of the specimen, reagents in order, liquid, gas passed.

A test is a sequence of operations (`shared/tests/`); a scheme may state its own. What a group leaves in the
tube carries on to the next, with the reagents that went in; a precipitate begins anew, washed. Nothing here
knows what falls or dissolves: `equilibria` calculates that from a vessel, `bench` reads it from the facts.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from examkit.chemistry.tube import START, names_left

HOT_CELSIUS = 90
NOT_WET = "the solid itself is treated, and nothing is known of how much of it dissolves"


@dataclass(frozen=True)
class Added:
    """A reagent that went into the tube: so many mL or g, or drop by drop until a pH."""

    reagent: str
    volume_mL: float = 0.0
    mass_g: float = 0.0
    until_pH: float | None = None


@dataclass(frozen=True)
class Vessel:
    """The contents of one tube at one moment."""

    of: str  # the portion that it began with
    portion_mL: float = 0.0  # of the original solution or the extract, at the beginning
    volume_mL: float = 0.0
    course: tuple[Added, ...] = ()
    saturated: tuple[tuple[str, float], ...] = ()  # gas passed: species, mol/L kept dissolved
    gone: tuple[str, ...] = ()  # anions driven off as gases
    share: float = 1.0  # of the tube, where a part was taken
    solid: bool = False  # began as a washed precipitate
    residue: bool = False  # began as what fell in this same test
    hot: bool = False  # the constants hold at room temperature
    beyond: str = ""  # why this cannot be calculated; empty: it can
    beyond_of: tuple[str, ...] = ()  # ions that are no longer what they are counted as


@dataclass(frozen=True)
class Condition:
    """A vessel at the moment when somebody looks: at one step of one facet of one test."""

    test: str
    facet: str
    step: str
    takes: str  # the fraction that the stage takes
    vessel: Vessel


def operations_of(test, stage=None):
    """{facet or "": operations} of a test, or what a stage of a scheme does in their place."""
    return (stage and stage.operations) or test.operations


def run(kb, operations, tube, facet=""):
    """((facet, step, Vessel) of every look, and the Vessel that goes on), beginning with `tube`."""
    looks, vessel, aside = [], tube, None
    for operation in operations:
        if operation.do == "look":
            looks.append((operation.facet or facet or "tube", operation.step, vessel))
        elif operation.do == "take" and operation.what in ("residue", "part"):
            aside = aside or vessel
            vessel = _apart(vessel, operation)
        elif operation.do == "take":
            vessel = _taken(operation, tube)
        else:
            vessel = _done(kb, vessel, operation)
    return tuple(looks), aside or vessel


def _taken(operation, tube):
    if operation.what == "tube":
        return replace(tube, beyond="", hot=False)
    if operation.what == "solid":
        return Vessel("solid", beyond=NOT_WET)
    return Vessel(operation.what, operation.volume_mL, operation.volume_mL)


def _apart(vessel, operation):
    """A part of the liquid, or the washed residue."""
    if operation.what == "residue":
        return replace(_emptied(vessel), residue=True)
    share = min(1.0, operation.volume_mL / vessel.volume_mL) if vessel.volume_mL else 1.0
    course = tuple(
        replace(a, volume_mL=a.volume_mL * share, mass_g=a.mass_g * share) for a in vessel.course
    )
    return replace(
        vessel, share=vessel.share * share, course=course,
        volume_mL=vessel.volume_mL * share, portion_mL=vessel.portion_mL * share,
    )


def _emptied(vessel):
    """The solid alone: the liquid and all that was in it is gone."""
    return replace(vessel, volume_mL=0.0, course=(), saturated=(), solid=True)


def _done(kb, vessel, operation):
    """The vessel after an operation that is neither a look nor a portion taken."""
    if operation.optional or operation.instead_of:
        return vessel
    if operation.do == "add":
        vessel = _with(kb, vessel, operation)
    elif operation.do == "pass":
        gases = dict(vessel.saturated) | dict(operation.keeps)
        vessel = replace(vessel, saturated=tuple(sorted(gases.items())))
    elif operation.do == "dilute":
        vessel = replace(vessel, volume_mL=vessel.volume_mL + operation.volume_mL)
    elif operation.do == "wash" or (operation.do == "centrifuge" and operation.what == "solid"):
        vessel = _emptied(vessel)
    if operation.drives_off:
        vessel = _boiled(kb, vessel, set(operation.drives_off))
    return replace(
        vessel,
        volume_mL=operation.to_mL or vessel.volume_mL,
        hot=_is_hot(vessel, operation),
        beyond=vessel.beyond or (operation.beyond if not operation.beyond_of else ""),
        beyond_of=tuple(dict.fromkeys([*vessel.beyond_of, *operation.beyond_of])),
    )


def _is_hot(vessel, operation):
    """Whether what is seen next is seen in the boiling liquid."""
    if operation.do in ("boil", "heat") or operation.celsius >= HOT_CELSIUS:
        return True
    return vessel.hot and operation.do not in ("cool", "stand", "centrifuge", "add", "pass")


def _with(kb, vessel, operation):
    """The vessel with a reagent; one of which nothing is known in solution ends the calculation."""
    reagent = kb.reagents[operation.what]
    filled = replace(vessel, volume_mL=vessel.volume_mL + operation.volume_mL)
    if operation.beyond_of:
        return filled
    if reagent.formula.split(".")[0] not in kb.constants.gives:
        return replace(filled, beyond=vessel.beyond or f"what {reagent.name} does is not calculated")
    added = Added(operation.what, operation.volume_mL, operation.g, operation.until_pH)
    return replace(filled, course=(*vessel.course, added))


def _boiled(kb, vessel, off):
    """Gases, volatile reagents and anions leave."""
    return replace(
        vessel,
        saturated=tuple((species, amount) for species, amount in vessel.saturated if species not in off),
        course=tuple(a for a in vessel.course if kb.reagents[a.reagent].formula not in off),
        gone=tuple(dict.fromkeys([*vessel.gone, *(ion for ion in sorted(off) if ion in kb.ions)])),
    )


@lru_cache(maxsize=64)
def staged(kb, scheme):
    """((Stage, its Conditions), ...) of a scheme in order: every look at a tube."""
    rack = {START: Vessel("tube", scheme.tube_mL, scheme.tube_mL)}
    found = []
    for stage in scheme.stages:
        test = kb.tests[stage.test]
        tube = rack.get(stage.takes, Vessel("tube", scheme.tube_mL, solid=True))
        looks, left = _stage(kb, test, stage, tube)
        found.append((stage, looks))
        if test.portion == "tube":
            precipitate, solution = names_left(stage, tube.solid)
            rack[solution] = replace(left, solid=False)
            rack[precipitate] = replace(_emptied(left), share=1.0, residue=False)
    return tuple(found)


def _stage(kb, test, stage, tube):
    looks, left = [], tube
    for facet, operations in operations_of(test, stage).items():
        seen, left = run(kb, operations, tube, facet)
        looks += [
            Condition(test.id, at, step, stage.takes, vessel)
            for at, step, vessel in seen if at in (facet, "tube")
        ]
    return tuple(looks), left


def conditions(kb, scheme):
    """Every look of a scheme whose tube can be calculated, as Conditions in order."""
    return tuple(
        look for _stage_, looks in staged(kb, scheme) for look in looks if calculable(look.vessel)
    )


def calculable(vessel):
    """Whether there is a liquid, and nothing in it that is beyond calculation."""
    return not vessel.beyond and not vessel.hot and vessel.volume_mL > 0
