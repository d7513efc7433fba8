"""What can go wrong with an equilibrium calculation."""

from examkit.chemistry.errors import ChemistryError


class EquilibriumError(ChemistryError):
    """A mixture that cannot be solved, or a species that no constant is known for."""
