"""From a vessel to a mixture: what reagents put into the tube, in mol/L of the final volume."""

from collections import Counter
from dataclasses import replace

from examkit.chemistry import formula
from examkit.chemistry.equilibria.errors import EquilibriumError
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.vessel import conditions


def condition_of(kb, scheme, test_id, facet="tube", step=""):
    """The Condition of a step of a test (of its first step without one named), or None."""
    for condition in conditions(kb, scheme):
        if (condition.test, condition.facet) == (test_id, facet) and step in ("", condition.step):
            return condition
    return None


def rest(kb, vessel, millimoles):
    """The Equilibrium of a Vessel that holds these ions (mmol) besides what was added to it."""
    totals = Counter({ion: amount / vessel.volume_mL for ion, amount in millimoles.items()})
    for added in vessel.course:
        reagent = kb.reagents[added.reagent]
        if added.until_pH is not None:
            totals.update(_added_until(kb, reagent, added.until_pH, totals))
        else:
            amount = _millimoles(reagent, added) / vessel.volume_mL
            totals.update({species: count * amount for species, count in _gives(kb, reagent).items()})
    return solve(kb.constants, mixture(totals, saturated=vessel.saturated))


def _added_until(kb, reagent, pH, totals):
    """What is added drop by drop until the tube has its pH; nothing where it is past that already."""
    gives = _gives(kb, reagent)
    before = solve(kb.constants, mixture(totals))
    if _is_past(before.pH, pH, gives):
        return {}
    asked = replace(mixture(totals), until=tuple(sorted(gives.items())), until_pH=pH)
    added = solve(kb.constants, asked).added
    return {species: count * added for species, count in gives.items()}


def _is_past(pH, goal, gives):
    return pH <= goal if "H+" in gives else pH >= goal


def _gives(kb, reagent):
    """The species that one formula unit of a reagent falls into."""
    gives = kb.constants.gives.get(reagent.formula.split(".")[0])
    if gives is None:
        raise EquilibriumError(f"What '{reagent.formula}' gives in solution is not in constants/basis.yaml.")
    return gives


def _millimoles(reagent, added):
    """Amount (mmol) of a reagent in so many mL of its strength or so many g of the solid."""
    if added.volume_mL:
        if reagent.strength_mol_L is None:
            raise EquilibriumError(f"'{reagent.key}' has no strength in mol/L, so mL of it say nothing.")
        return added.volume_mL * reagent.strength_mol_L
    return 1000 * added.mass_g / formula.molar_mass_g_mol(reagent.formula)
