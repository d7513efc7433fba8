"""Every dissolved species and solid as a sum of basis species, so that totals and charges can be kept."""

import re
from collections import Counter
from dataclasses import dataclass, field
from functools import cache

from examkit.chemistry import formula
from examkit.chemistry.equilibria.errors import EquilibriumError
from examkit.chemistry.knowledge.constants import WATER, terms


@dataclass(frozen=True)
class Made:
    """A species made from basis species: how many of each, and log10 K of making it."""

    parts: dict[str, int] = field(hash=False)
    log_k: float = 0.0


@dataclass(frozen=True)
class Book:
    """All species and solids of the constants, each as made from the basis, H+ and H2O."""

    made: dict[str, Made] = field(hash=False)

    def of(self, species):
        """Basis species of one formula unit: {"NH3": 1, "H+": 1} for NH4+."""
        if species not in self.made:
            raise EquilibriumError(f"No constant is known for '{species}'. Add it to shared/constants/.")
        return self.made[species].parts

    def main(self, species):
        """The basis species that an ion is counted as: NH3 for NH4+, HS- for S^2-, itself for most."""
        return next((part for part in self.of(species) if part not in WATER), species)


@cache
def book(constants):
    """The Book of all constants; each is reached from those that it is written with."""
    made = {species: Made({species: 1}) for species in (*constants.basis, *WATER)}
    waiting = list(constants.values.values())
    while waiting:
        ready = [constant for constant in waiting if not _missing(constant, made)]
        if not ready:
            names = ", ".join(sorted(constant.name for constant in waiting))
            raise EquilibriumError(f"These constants hang on each other or on nothing: {names}.")
        for constant in ready:
            made[constant.name] = _make(constant, made)
        waiting = [constant for constant in waiting if constant not in ready]
    return Book(made)


def _missing(constant, made):
    left, right = terms(constant.reaction)
    return {species for _count, species in (*left, *right)} - set(made) - {constant.species}


def _make(constant, made):
    """Solve the reaction for its species: the other side, less what stands beside it."""
    left, right = terms(constant.reaction)
    on_left = constant.species in [species for _count, species in left]
    sign = 1 if on_left else -1
    parts, log_k = Counter(), -sign * constant.log_k
    for side, direction in ((right, sign), (left, -sign)):
        for count, species in side:
            if species == constant.species:
                continue
            log_k += direction * count * made[species].log_k
            for part, number in made[species].parts.items():
                parts[part] += direction * count * number
    return Made({part: number for part, number in parts.items() if number}, log_k)


@cache
def charge(species):
    """Charge of a species in elementary charges."""
    return formula.parse(species).charge


def label(basis_species):
    """The name of a basis species as an element of the solver: `[SO4_2]` for SO4^2-."""
    body, size = formula.split_charge(basis_species)
    return f"[{re.sub(r'[^A-Za-z0-9]', '', body)}_{abs(size)}]"


def signed(size):
    """A charge as the solver writes it: `+2`, `-`, or nothing."""
    if not size:
        return ""
    return ("+" if size > 0 else "-") + (str(abs(size)) if abs(size) > 1 else "")


def spelt(parts):
    """Parts as the solver spells them: a tag for each basis species, then all hydrogen and oxygen.

    >>> spelt({"Zn2+": 1, "NH3": 2})
    '[Zn_2][NH3_0]2H6'
    """
    atoms = Counter()
    for part, number in parts.items():
        for element, count in formula.parse(part).elements:
            atoms[element] += number * int(count)
    words = [(label(part), number) for part, number in parts.items() if part not in WATER]
    words += [("H", atoms["H"]), ("O", atoms["O"])]
    return "".join(word + (str(number) if number > 1 else "") for word, number in words if number)
