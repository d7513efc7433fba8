"""What is done in a test, step by step: from data to records and back, and what cannot be done."""

from examkit.chemistry.knowledge.shapes import OperationShape
from examkit.chemistry.knowledge.work import PORTIONS, WITH_REAGENT, Operation

MEASURES = ("drops", "mL", "g", "strips")


def operations(shapes):
    """The records of a sequence of operations."""
    return tuple(
        Operation(
            **shape.model_dump(exclude={"drives_off", "keeps", "beyond_of"}),
            beyond_of=tuple(shape.beyond_of),
            drives_off=tuple(shape.drives_off),
            keeps=tuple(sorted((species, float(amount)) for species, amount in shape.keeps.items())),
        )
        for shape in shapes
    )


def ways(shape):
    """{facet or "": its operations} of a test: one sequence, or one for each way of doing it."""
    if isinstance(shape, dict):
        return {facet: operations(each) for facet, each in shape.items()}
    return {"": operations(shape)} if shape else {}


def portion_of(shape, facet, usual):
    """What a way of its own takes where that is not what the test as a whole takes; else an empty string."""
    way = shape.get(facet, ()) if isinstance(shape, dict) else ()
    taken = next((each.what for each in way if each.do == "take"), usual)
    return taken if taken != usual else ""


def plain(sequences):
    """The data of operations as a file holds them: only what is said."""
    ways_ = {facet: [told(operation) for operation in each] for facet, each in sequences.items()}
    return ways_[""] if set(ways_) == {""} else ways_


def told(operation):
    """The data of one operation."""
    shape = OperationShape(
        **{name: getattr(operation, name) for name in OperationShape.model_fields
           if name not in ("drives_off", "keeps", "beyond_of")},
        drives_off=list(operation.drives_off), beyond_of=list(operation.beyond_of),
        keeps=dict(operation.keeps),
    )
    return shape.model_dump(exclude_defaults=True)


def faults(base, test, sequences):
    """((facet, number), what) of every operation that cannot be done, and of every step nobody looks at."""
    for facet, each in sequences.items():
        if facet and facet not in test.facets:
            yield (facet,), f"the test has no facet '{facet}'."
            continue
        for number, operation in enumerate(each):
            for what in _operation_faults(base, test, facet, operation):
                yield (facet, number) if facet else (number,), what
        if each and each[0].do != "take":
            yield (facet, 0) if facet else (0,), "the first operation takes a portion. Begin with 'take'."
    yield from _unseen(test, sequences)


def _operation_faults(base, test, facet, operation):
    if operation.do in WITH_REAGENT and (operation.what or operation.do != "wash"):
        if operation.what not in base.reagents:
            yield f"there is no reagent '{operation.what}'."
        elif not any(getattr(operation, measure) for measure in MEASURES):
            yield f"how much '{operation.what}'? Add drops, mL, g or strips."
    if operation.do == "take" and operation.what not in PORTIONS:
        yield f"'{operation.what}' is no portion. Known: {', '.join(PORTIONS)}."
    if operation.do == "look":
        seen = test.facets.get(operation.facet or facet or "tube")
        if seen is None:
            yield f"the test has no facet '{operation.facet or 'tube'}' to look at."
        elif operation.step and operation.step not in seen.steps:
            yield f"'{seen.key}' has no step '{operation.step}'. Steps: {', '.join(seen.steps)}."
    defined = {*base.constants.basis, *(c.species for c in base.constants.values.values())}
    for species in sorted({species for species, _amount in operation.keeps} - defined):
        yield f"nothing in constants/ defines '{species}'."


def looks(test, sequences):
    """Every (facet, step) that somebody looks at; a look without a step sees all that have no step."""
    for facet, each in sequences.items():
        for operation in each:
            if operation.do == "look":
                yield operation.facet or facet or "tube", operation.step


def _unseen(test, sequences):
    """Every step of every facet must be looked at, or what stands in the facts could never be seen."""
    seen = set(looks(test, sequences))
    for facet in test.facets.values():
        for step in facet.steps or ("",):
            if (facet.key, step) not in seen:
                place = f"'{facet.key}', step '{step}'" if step else f"'{facet.key}'"
                yield (), f"no operation looks at {place}. Add one with 'do: look'."
