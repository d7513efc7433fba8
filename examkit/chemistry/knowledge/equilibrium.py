"""Records of equilibrium constants, and of what they are judged and settled by. All are frozen."""

from dataclasses import dataclass, field

from examkit.chemistry.knowledge.citations import Citation


@dataclass(frozen=True)
class OtherValue:
    """Another published value of a constant, for its own reaction where that is written otherwise."""

    log_k: float
    reaction: str
    sources: tuple[Citation, ...]


@dataclass(frozen=True)
class Constant:
    """An equilibrium constant: log10 K of the reaction as written, zero ionic strength."""

    name: str
    kind: str  # solids | acids | complexes
    species: str
    reaction: str
    log_k: float
    temperature_C: float
    sources: tuple[Citation, ...]
    aged: bool = False  # a solid that does not form within minutes
    why: str = ""  # why this value of several
    also: tuple[OtherValue, ...] = ()


@dataclass(frozen=True)
class Thresholds:
    """When a calculated result is clear, marginal or none."""

    visible_mg_L: float
    clear_mg_L: float
    clear_fraction: float
    clear_si: float
    doubt_si: float
    sources: tuple[Citation, ...] = ()


@dataclass(frozen=True)
class Settled:
    """A disagreement between table and calculation that somebody looked into, and what came of it."""

    test: str
    step: str
    ion: str
    why: str
    sources: tuple[Citation, ...]


@dataclass(frozen=True, eq=False)
class Constants:
    """All equilibrium constants, the species they are written with, and what reagents give in solution."""

    basis: tuple[str, ...] = ()
    gives: dict[str, dict[str, int]] = field(default_factory=dict)
    values: dict[str, Constant] = field(default_factory=dict)
    thresholds: Thresholds | None = None
    settled: tuple[Settled, ...] = ()
    solvents: dict[str, dict[str, float]] = field(default_factory=dict)  # solvent -> mol/L of it left
