"""The original solution: what the solvent holds of each salt, cold; the rest goes nowhere."""

from examkit.chemistry.equilibria.errors import EquilibriumError
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.equilibria.species import WATER, book, charge
from examkit.chemistry.specimen import brought_into_solution


def original_solution(kb, scheme, specimen):
    """{ion: mmol in 1 mL} of the original solution, without the anions that acid drives off as a gas."""
    grams = sum(part.grams for part in specimen.parts)
    there = {
        ion: scheme.original_g_mL * n / grams for ion, n in brought_into_solution(kb, specimen).items()
        if ion not in scheme.driven_off
    }
    own = {salt: solids_of(kb, salt) for salt in specimen.salts if there.keys() >= salt.ions.keys()}
    units = _undissolved(kb, there, [salt for salt in specimen.salts if set(salt.ions) & set(there)], own)
    for salt, amount in units.items():
        there |= {ion: max(0.0, there[ion] - amount * number) for ion, number in salt.ions.items()}
    return {ion: amount for ion, amount in there.items() if amount > 0}


def solids_of(kb, salt):
    """The solids with a constant that are this salt: its ions in their proportions, whatever the water."""
    known = book(kb.constants)
    if not set(salt.ions) <= set(known.made):
        return ()
    asked = _proportions({known.main(ion): number for ion, number in salt.ions.items()})
    found = [
        c for c in kb.constants.values.values()
        if c.kind == "solids" and _proportions(known.of(c.name)) == asked
    ]
    return tuple(c.name for c in found if not c.aged) or tuple(c.name for c in found)


def _proportions(parts):
    """Each basis species as a share of all, so that formulas of any size compare."""
    counted = {part: number for part, number in parts.items() if part not in WATER}
    return {part: round(number / sum(counted.values()), 6) for part, number in counted.items()}


def _undissolved(kb, there, salts, own):
    """{salt: mmol of its formula units in 1 mL that stay undissolved}; nothing where no constant says so."""
    solids = {name: salt for salt, names in own.items() for name in names}
    solvents = {salt.dissolves_in for salt in salts}
    if not solids or not solvents <= kb.constants.solvents.keys():
        return {}
    totals = _with_acid(kb, {i: n for i, n in there.items() if i in book(kb.constants).made}, salts, solvents)
    try:
        found = solve(kb.constants, mixture(totals, solids=tuple(sorted(solids))))
    except EquilibriumError:
        return {}
    return {solids[name]: amount / _units(kb, solids[name], name) for name, amount in found.solids.items()}


def _units(kb, salt, solid):
    """Formula units of the salt's solid in one of the salt as sold."""
    known = book(kb.constants)
    ion, number = next(iter(salt.ions.items()))
    return number / known.of(solid)[known.main(ion)]


def _with_acid(kb, amounts, salts, solvents):
    """The ions with the acid: what is left of the solvent, and what the anions took up, boiled down with it.

    In its place an equivalent of the solvent's own anion stays; hydrochloric acid beside nitric acid is both.
    """
    totals = dict(amounts)
    for solvent in sorted(solvents):
        left = kb.constants.solvents[solvent]
        taken = {ion for salt in salts if salt.dissolves_in == solvent for ion in salt.anions} if left else ()
        bound = sum(-charge(ion) * amounts[ion] for ion in taken if ion in amounts)
        for species, amount in left.items():
            totals[species] = totals.get(species, 0.0) + amount + bound
    return totals
