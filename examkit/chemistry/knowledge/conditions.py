"""Conditions of a scheme's wet tests: what stands in the tube at each step, as data, and its record."""

from typing import Annotated

from pydantic import Field

from examkit.chemistry.knowledge.model import Addition, Condition
from examkit.chemistry.knowledge.shapes import Shape, Word

Amount = Annotated[float | int, Field(ge=0)]


class AdditionShape(Shape):
    reagent: Word
    volume_mL: Amount = 0
    mass_g: Amount = 0


class UntilShape(Shape):
    reagent: Word
    pH: Amount


class ConditionShape(Shape):
    step: str = ""
    portion_mL: Amount
    volume_mL: Annotated[float | int, Field(gt=0)]
    adds: list[AdditionShape] = []
    until: UntilShape | None = None
    then: list[AdditionShape] = []
    saturated: dict[str, Amount] = {}
    remark: str = ""


class ConditionsShape(Shape):
    original_g_mL: Amount = 0
    extract_g_mL: Amount = 0
    driven_off: list[Word] = []
    tests: dict[str, Annotated[list[ConditionShape], Field(min_length=1)]] = {}


def place(key):
    """Test and facet of a key like `confirm-cation.potassium-chromate`; without a facet it is `tube`."""
    test, _dot, facet = key.partition(".")
    return test, facet or "tube"


def conditions(shape):
    """The records of a scheme's conditions, in the order of the file."""
    return tuple(_condition(key, step) for key, steps in shape.tests.items() for step in steps)


def _condition(key, shape):
    test, facet = place(key)
    return Condition(
        test=test,
        facet=facet,
        step=shape.step,
        portion_mL=float(shape.portion_mL),
        volume_mL=float(shape.volume_mL),
        adds=tuple(map(_addition, shape.adds)),
        until=shape.until.reagent if shape.until else "",
        until_pH=float(shape.until.pH) if shape.until else 0.0,
        then=tuple(map(_addition, shape.then)),
        saturated={species: float(amount) for species, amount in shape.saturated.items()},
        remark=shape.remark,
    )


def _addition(shape):
    return Addition(shape.reagent, float(shape.volume_mL), float(shape.mass_g))


def condition_faults(base, key, shape):
    """What is wrong with one step of a condition, in words."""
    name, facet_name = place(key)
    test = base.tests.get(name)
    facet = test.facets.get(facet_name) if test else None
    if facet is None:
        yield f"there is no test and facet '{key}'."
    elif shape.step and shape.step not in facet.steps:
        yield f"'{key}' has no step '{shape.step}'. Steps: {', '.join(facet.steps)}."
    for use in (*shape.adds, *shape.then):
        yield from _reagent_faults(base, use.reagent)
        if not use.volume_mL and not use.mass_g:
            yield f"how much '{use.reagent}'? Add volume_mL or mass_g."
    if shape.until:
        yield from _reagent_faults(base, shape.until.reagent)
    defined = {*base.constants.basis, *(c.species for c in base.constants.values.values())}
    for species in sorted(set(shape.saturated) - defined):
        yield f"nothing in constants/ defines '{species}'."


def _reagent_faults(base, key):
    """A reagent must be there, and what it gives in solution must be known."""
    reagent = base.reagents.get(key)
    if reagent is None:
        yield f"there is no reagent '{key}'."
    elif reagent.formula.split(".")[0] not in base.constants.gives:
        yield f"what '{reagent.formula}' gives in solution is not known. Add it to constants/basis.yaml."
