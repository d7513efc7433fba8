"""What a test takes from the shelf, for one candidate: sums over its operations."""

from dataclasses import dataclass, replace

from examkit.chemistry.knowledge.work import WITH_REAGENT
from examkit.chemistry.vessel import operations_of


@dataclass(frozen=True)
class Use:
    """One reagent of one test, or of one way of doing it (`facet`)."""

    reagent: str
    volume_mL: float = 0.0
    mass_g: float = 0.0
    strips: int = 0
    facet: str = ""
    optional: bool = False
    instead_of: str = ""

    @property
    def what(self):
        """What makes two uses one entry."""
        return self.reagent, self.facet, self.optional, self.instead_of


def uses(test, stage=None):
    """The Uses of a test, each reagent once per way, in the order of the work."""
    found = {}
    for facet, operations in operations_of(test, stage).items():
        for operation in operations:
            if operation.what and operation.do in WITH_REAGENT:
                _add(found, _use(operation, facet))
    return tuple(found.values())


def uses_before(stage):
    """The Uses of what a stage does first to take anions out."""
    found = {}
    for operation in stage.first:
        if operation.what and operation.do in WITH_REAGENT:
            _add(found, _use(operation, ""))
    return tuple(found.values())


def _use(operation, facet):
    return Use(operation.what, operation.volume_mL, operation.g, operation.strips, facet,
               operation.optional, operation.instead_of)


def _add(found, use):
    there = found.get(use.what)
    found[use.what] = use if there is None else replace(
        there, volume_mL=round(there.volume_mL + use.volume_mL, 4),
        mass_g=round(there.mass_g + use.mass_g, 4),
        strips=there.strips + use.strips,
    )
