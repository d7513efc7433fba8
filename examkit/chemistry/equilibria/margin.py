"""How clear a precipitate is with this exam's amounts: state, fraction, distance from the limit."""

from dataclasses import dataclass
from functools import lru_cache

from examkit.chemistry import formula
from examkit.chemistry.equilibria.errors import EquilibriumError
from examkit.chemistry.equilibria.mixing import condition_of, rest
from examkit.chemistry.equilibria.species import book

WORTH_TELLING = 0.05  # the share of an ion from which on its complex is named
TRACE_MMOL = 1e-9  # less than this of an ion is none: a group before has taken it


@dataclass(frozen=True)
class Margin:
    """What the calculation says about one ion at one step of a test, at 25 °C."""

    state: str  # clear | marginal | none
    fraction: float  # of the ion, in a solid
    saturation_index: float  # log10(product / constant) of that solid before anything fell
    concentration_mol_L: float  # of the ion, still dissolved
    note: str
    solid: str = ""
    solid_mg_L: float = 0.0
    pH: float = 7.0
    complex: str = ""  # the dissolved complex that holds most of the ion ...
    complex_fraction: float = 0.0  # ... and the share of the ion in it
    trace: bool = False  # so little of the ion is there that nothing of it could be seen

    @property
    def forms(self):
        """Whether something is seen, clearly or perhaps."""
        return self.state != "none"


def margin_of(kb, scheme, test_id, ion, millimoles, others=None, facet="tube", step=""):
    """The Margin of `millimoles` mmol of an ion in the tube of a test, beside `others` (ion: mmol).

    None where the step of the test cannot be calculated, no solid of the ion that could form there has a
    constant, or the solver finds no equilibrium.
    """
    condition = condition_of(kb, scheme, test_id, facet, step)
    if condition is None:
        return None
    return margin_in(kb, condition.vessel, ion, {**(others or {}), ion: millimoles})


def margin_in(kb, vessel, ion, amounts):
    """The Margin of one of several ions (mmol) in a Vessel, or None as above."""
    if not has_constants(kb, ion) or amounts[ion] < TRACE_MMOL:
        return None
    return _margin(kb, vessel, ion, tuple(sorted(amounts.items())))


def has_constants(kb, ion):
    """Whether any solid of this ion has a constant."""
    known = book(kb.constants)
    if ion not in known.made:
        return False
    main = known.main(ion)
    return any(main in known.of(c.name) for c in kb.constants.values.values() if c.kind == "solids")


@lru_cache(maxsize=20_000)
def _margin(kb, vessel, ion, amounts):
    found = _at_rest(kb, vessel, amounts)
    return found and judge(kb, found, ion, vessel.solid)


@lru_cache(maxsize=20_000)
def _at_rest(kb, vessel, amounts):
    """Ions without constants (those of nothing but other ions' colour) are left out of the mixture."""
    made = book(kb.constants).made
    known = {species: amount for species, amount in amounts if species in made and amount > TRACE_MMOL}
    try:
        return rest(kb, vessel, known)
    except EquilibriumError:
        return None


def judge(kb, found, ion, was_solid=False):
    """The Margin of one ion in an Equilibrium: the solid that holds most of it decides.

    None where no solid of it could be made of what is in the tube.
    """
    known = book(kb.constants)
    main = known.main(ion)
    holds = {name: known.of(name).get(main, 0) for name in found.saturation}
    in_solid = {name: found.solids.get(name, 0.0) * count for name, count in holds.items() if count}
    total = found.totals[main]
    if not in_solid or not total:
        return None
    solid = max(in_solid, key=lambda name: (in_solid[name], found.saturation[name]))
    fraction = min(1.0, sum(in_solid.values()) / total)
    index = found.saturation[solid]
    mg_L = 1000 * found.solids.get(solid, 0.0) * _molar_mass(kb, solid)
    possible = 1000 * total / holds[solid] * _molar_mass(kb, solid)
    state = _state(kb.constants.thresholds, fraction, index, mg_L, possible)
    held_by, held = _complex(known, found, main)
    note = _note(solid, fraction, index, mg_L, "stays solid" if was_solid else "falls")
    note += f"{held_by} holds {100 * held:.0f} %, " if held_by else ""
    note += f"pH {found.pH:.1f}, 25 °C, Davies"
    trace = possible < kb.constants.thresholds.visible_mg_L
    return Margin(
        state, fraction, index, found.dissolved[main], note, solid, mg_L, found.pH, held_by, held, trace)


def _complex(known, found, main):
    """The dissolved complex that holds most of a species, and the share that it holds, if that counts."""
    total = found.totals[main]
    shares = {name: known.of(name).get(main, 0) * c / total for name, c in found.complexes.items()}
    held_by = max(shares, key=shares.get, default="")
    return (held_by, min(1.0, shares[held_by])) if held_by and shares[held_by] >= WORTH_TELLING else ("", 0.0)


def _molar_mass(kb, solid):
    return formula.molar_mass_g_mol(kb.constants.values[solid].species)


def _state(limits, fraction, index, mg_L, possible_mg_L):
    """Clear, marginal or none, by the thresholds of constants/thresholds.yaml.

    Of an ion of which too little is there to be seen, were all of it to fall, nothing is in doubt.
    """
    if possible_mg_L < limits.visible_mg_L:
        return "none"
    nearly_all = fraction >= limits.clear_fraction and mg_L >= limits.visible_mg_L
    enough = mg_L >= limits.clear_mg_L or nearly_all
    if index >= limits.clear_si and enough:
        return "clear"
    if index < -limits.doubt_si or (index > limits.doubt_si and mg_L < limits.visible_mg_L):
        return "none"
    return "marginal"


def _note(solid, fraction, index, mg_L, does):
    return f"{solid}: {100 * fraction:.0f} % {does}, {mg_L / 1000:.2g} g/L, saturation index {index:+.1f}, "
