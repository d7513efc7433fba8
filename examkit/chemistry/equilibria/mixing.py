"""From a scheme's conditions to mixtures: what reagents put into the tube, in mol/L of the final volume."""

from collections import Counter
from dataclasses import replace

from examkit.chemistry import formula
from examkit.chemistry.equilibria.errors import EquilibriumError
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.specimen import shut


def condition_of(scheme, test_id, facet="tube", step=""):
    """The Condition of a step of a test (of its first step without one named), or None."""
    for condition in scheme.conditions:
        if (condition.test, condition.facet) == (test_id, facet) and step in ("", condition.step):
            return condition
    return None


def portion_millimoles(scheme, condition, test, specimen):
    """Amount (mmol) of each ion of a specimen in the portion that a test takes.

    Anions that acid drives off as a gas are gone from the original solution, and still in the extract; what
    sodium carbonate does not open is not in the extract.
    """
    grams = sum(part.grams for part in specimen.parts)
    per_mL = scheme.extract_g_mL if test.portion == "extract" else scheme.original_g_mL
    share = per_mL * condition.portion_mL / grams
    gone = shut(specimen) if test.portion == "extract" else scheme.driven_off
    ions = [ion for ion in (*specimen.cations, *specimen.anions) if ion not in gone]
    return {ion: share * specimen.millimoles(ion) for ion in ions}


def rest(kb, condition, millimoles):
    """The Equilibrium of a tube that holds these ions (mmol) under a Condition."""
    totals = Counter({ion: amount / condition.volume_mL for ion, amount in millimoles.items()})
    totals.update(_given(kb, condition, condition.adds))
    options = {"saturated": tuple(sorted(condition.saturated.items()))}
    if condition.until:
        totals.update(_added_until(kb, condition, totals, options))
    totals.update(_given(kb, condition, condition.then))
    return solve(kb.constants, mixture(totals, **options))


def _added_until(kb, condition, totals, options):
    """What is added drop by drop until the tube has its pH; nothing where it is past that already."""
    gives = _gives(kb, kb.reagents[condition.until])
    before = solve(kb.constants, mixture(totals, **options))
    probe = mixture(totals, **options)
    asked = replace(probe, until=tuple(sorted(gives.items())), until_pH=condition.until_pH)
    if _is_past(before.pH, condition.until_pH, gives):
        return {}
    added = solve(kb.constants, asked).added
    return {species: count * added for species, count in gives.items()}


def _is_past(pH, goal, gives):
    return pH <= goal if "H+" in gives else pH >= goal


def _given(kb, condition, additions):
    """Mol/L of each species that these additions bring."""
    total = Counter()
    for addition in additions:
        reagent = kb.reagents[addition.reagent]
        amount = _millimoles(reagent, addition) / condition.volume_mL
        for species, count in _gives(kb, reagent).items():
            total[species] += count * amount
    return total


def _gives(kb, reagent):
    """The species that one formula unit of a reagent falls into."""
    gives = kb.constants.gives.get(reagent.formula.split(".")[0])
    if gives is None:
        raise EquilibriumError(f"What '{reagent.formula}' gives in solution is not in constants/basis.yaml.")
    return gives


def _millimoles(reagent, addition):
    """Amount (mmol) of a reagent in so many mL of its strength or so many g of the solid."""
    if addition.volume_mL:
        if reagent.strength_mol_L is None:
            raise EquilibriumError(f"'{reagent.key}' has no strength in mol/L, so mL of it say nothing.")
        return addition.volume_mL * reagent.strength_mol_L
    return 1000 * addition.mass_g / formula.molar_mass_g_mol(reagent.formula)
