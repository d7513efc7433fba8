"""The acid left in an original solution is an estimate of ours: what hangs on it is known."""

import dataclasses

from examkit.chemistry.equilibria.table import margins_of_specimen
from examkit.chemistry.specimen import Part, Specimen

HANGS_ON_HALF = {  # neither cation is in a syllabus for one salt
    ("BiOCl", ("confirm-cation", "water", "reagent"), "Bi3+"),  # marginal, clear with less acid
    ("Hg2SO4", ("confirm-cation", "potassium-chromate", "reagent"), "Hg2^2+"),  # clear, then marginal
}


def states(kb, salt, acid_mol_L=None):
    """The state of everything calculated for a salt, with this much acid left in its original solution."""
    if acid_mol_L is not None:
        left = {solvent: dict.fromkeys(held, acid_mol_L) for solvent, held in kb.constants.solvents.items()}
        kb = dataclasses.replace(kb, constants=dataclasses.replace(kb.constants, solvents=left))
    scheme = kb.schemes["semimicro"]
    specimen = Specimen((Part(kb.salts[salt], scheme.grams),))
    return {
        (salt, place, ion): margin.state
        for place, here in margins_of_specimen(kb, scheme, specimen).items()
        for ion, margin in here.items()
    }


def changed(kb, acid_mol_L):
    """What changes its state with another strength, over every salt that acid takes up."""
    in_acid = [salt for salt, one in kb.salts.items() if kb.constants.solvents.get(one.dissolves_in)]
    pairs = [(states(kb, salt), states(kb, salt, acid_mol_L)) for salt in in_acid]
    return {
        place for ours, other in pairs for place in ours.keys() | other if ours.get(place) != other.get(place)
    }


def test_double_the_acid_changes_no_result_and_half_of_it_two(kb):
    assert changed(kb, 0.4) == set()
    assert changed(kb, 0.1) == HANGS_ON_HALF


def test_another_strength_does_reach_the_calculation(kb):
    """Without acid bismuth oxychloride does not go on, and in strong acid strontium oxalate does."""
    assert states(kb, "BiOCl", 1e-9) != states(kb, "BiOCl")
    assert states(kb, "SrC2O4", 3.0) != states(kb, "SrC2O4")
