"""Our constants as the text of a PHREEQC database: 25 °C, activities by Davies, or none (textbook sums)."""

from functools import cache

from examkit.chemistry.equilibria.species import WATER, book, charge, label, signed, spelt

CATION, ANION = "[Cat]", "[An]"  # ions that only carry charge: they stand in for counter-ions not named
FIXED_PH = "Fix_pH"
IDEAL = "-gamma 1e12 0"  # an ion so large that its activity coefficient is 1
HYDROXIDE = {"H2O": 1, "H+": -1}
HEAD = """SOLUTION_MASTER_SPECIES
H H+ -1 H 1.008
H(0) H2 0 H
H(1) H+ -1 H
E e- 0 0 0
O H2O 0 O 16
O(0) O2 0 O
O(-2) H2O 0 O
"""
WATER_SPECIES = """SOLUTION_SPECIES
H+ = H+
log_k 0
e- = e-
log_k 0
H2O = H2O
log_k 0
2 H+ + 2 e- = H2
log_k -3.15
2 H2O = O2 + 4 H+ + 4 e-
log_k -86.08
"""


@cache
def database(constants, ideal=False):
    """The database text; with `ideal` every activity coefficient is 1, as in textbook examples."""
    made = book(constants).made
    gamma = f"\n{IDEAL}" if ideal else ""
    masters = {label(species): master(species) for species in constants.basis}
    masters |= {CATION: f"{CATION}+", ANION: f"{ANION}-"}
    solids = {c.name for c in constants.values.values() if c.kind == "solids"}
    species = [name for name in made if name not in {*constants.basis, *WATER, *solids}]
    lines = [HEAD]
    lines += [f"{element} {name} 0 1 1\n" for element, name in masters.items()]
    lines += [WATER_SPECIES.replace("H+ = H+\nlog_k 0", f"H+ = H+\nlog_k 0{gamma}", 1)]
    lines += [f"{name} = {name}\nlog_k 0{gamma}\n" for name in masters.values()]
    lines += [_species(name, made[name], gamma) for name in species]
    lines += [f"PHASES\n{FIXED_PH}\nH+ = H+\nlog_k 0\n"]
    lines += [_phase(phase(name), made[name]) for name in sorted(solids)]
    lines += [
        _phase(level(name), made[name]) for name in made if name not in {*WATER, *solids} and not charge(name)
    ]
    return "".join(lines)


def master(species):
    """The solver's name of a basis species: `[SO4_2]O4-2`."""
    return spelt({species: 1}) + signed(charge(species))


def phase(name):
    """The solver's name of a solid."""
    return "solid_" + "".join(letter if letter.isalnum() else "_" for letter in name)


def level(species):
    """The solver's name of a dissolved species whose activity is kept, as by a gas that is passed."""
    return "kept_" + phase(species)


def _side(parts):
    words = [(part if part in WATER else master(part), number) for part, number in parts.items()]
    return " + ".join(f"{number} {word}" if number > 1 else word for word, number in words if number > 0)


def _reaction(left, item, right=""):
    """`left = right` with what either side lacks, so that the parts of the species add up."""
    lost = _side({part: -number for part, number in item.parts.items() if number < 0})
    held = _side(item.parts)
    if right:
        return f"{held} = " + " + ".join(word for word in (right, lost) if word)
    return " + ".join(word for word in (left, lost) if word) + f" = {held}"


def _species(name, item, gamma):
    """A dissolved species, made from the basis; the hydroxide ion keeps the solver's own name."""
    size = charge(name)
    return f"{_reaction('', item, word_of(name, item))}\nlog_k {item.log_k:.4f}{gamma if size else ''}\n"


def word_of(name, item):
    """The solver's name of a dissolved species made from the basis."""
    return "OH-" if item.parts == HYDROXIDE else spelt(item.parts) + signed(charge(name))


def _phase(word, item):
    """A solid (or a kept level) falls apart into the basis."""
    return f"{word}\n{_reaction(spelt(item.parts), item)}\nlog_k {-item.log_k:.4f}\n"
