"""One mixture solved: what falls, how much, how far it was from the limit, what stays dissolved."""

import threading
from collections import Counter
from dataclasses import dataclass, field
from functools import cache, lru_cache
from math import log10
from pathlib import Path

from examkit.chemistry.equilibria.database import ANION, CATION, FIXED_PH, database, level, phase, word_of
from examkit.chemistry.equilibria.errors import EquilibriumError
from examkit.chemistry.equilibria.species import WATER, book, charge, label, spelt

ENOUGH = 20.0  # mol/L of a reagent that is added until a pH, or of a gas that is passed
STARTS = (  # where the search begins; nearly always the first finds the equilibrium
    ("KNOBS\n-iterations 400", 7),
    *(
        ("KNOBS\n-iterations 500\n-step_size 5\n-pe_step_size 2\n-diagonal_scale true", pH)
        for pH in (10, 4, 1)
    ),
)
LEAVINGS = Path("error.inp")  # where the solver writes, unasked, a mixture that it could not solve
LOCK = threading.Lock()  # one solver per process, used by one thread at a time


@dataclass(frozen=True)
class Mixture:
    """What is put together, in mol/L of the final volume, and what is kept constant in it."""

    totals: tuple[tuple[str, float], ...]  # species and mol/L; counter-ions not named are added
    saturated: tuple[tuple[str, float], ...] = ()  # dissolved species kept at this mol/L by a gas
    until: tuple[tuple[str, int], ...] = ()  # what one formula unit of a reagent gives, added to `until_pH`
    until_pH: float = 0.0
    ideal: bool = False
    solids: tuple[str, ...] | None = None  # the solids that may form; None: all that form within minutes


@dataclass(frozen=True)
class Equilibrium:
    """The mixture at rest. All amounts in mol per L of the mixture."""

    pH: float
    ionic_strength: float
    totals: dict[str, float] = field(hash=False)  # by basis species
    solids: dict[str, float] = field(hash=False)  # formula units that fell
    saturation: dict[str, float] = field(hash=False)  # log10(product / constant) before anything fell
    dissolved: dict[str, float] = field(hash=False)  # by basis species
    added: float = 0.0  # of the reagent that was added until a pH
    complexes: dict[str, float] = field(default_factory=dict, hash=False)  # dissolved, by species


def mixture(totals, **options):
    """A Mixture from a mapping of species to mol/L."""
    return Mixture(tuple(sorted((s, float(c)) for s, c in totals.items() if c > 0)), **options)


def solve(constants, mix):
    """The Equilibrium of a Mixture; raises EquilibriumError where the solver finds none."""
    found = _solved(constants, mix)
    if isinstance(found, str):
        raise EquilibriumError(f"No equilibrium found for {dict(mix.totals)}: {found}")
    return found


@lru_cache(maxsize=20_000)
def _solved(constants, mix):
    """The Equilibrium, or the solver's words why there is none: a failure is remembered, too."""
    totals = basis_totals(constants, mix.totals)
    present = _present(constants, totals, mix)
    names = _possible(constants, present, mix)
    complexes = _complexes(constants, present)
    lines = _input(constants, mix, totals, names, complexes)
    with LOCK:
        engine = _engine(constants, mix.ideal)
        failed = all(engine.RunString(f"{start}\n{lines.format(pH=pH)}") for start, pH in STARTS)
        LEAVINGS.unlink(missing_ok=True)
        if failed:
            return engine.GetErrorString()[:300]
        rows = engine.GetSelectedOutput()
    return _result(mix, totals, names, complexes, rows)


def basis_totals(constants, totals):
    """Mol/L by basis species, without H+ and H2O."""
    known, sums = book(constants), Counter()
    for species, amount in totals:
        for part, number in known.of(species).items():
            if part not in WATER:
                sums[part] += number * amount
    return dict(sums)


@cache
def _engine(constants, ideal):
    from phreeqc import Phreeqc

    engine = Phreeqc()
    if engine.LoadDatabaseString(database(constants, ideal)):
        raise EquilibriumError(f"The solver refuses the constants: {engine.GetErrorString()[:600]}")
    return engine


def _present(constants, totals, mix):
    """The basis species in the mixture, with those that come with a gas or a reagent."""
    known = book(constants)
    present = {*totals, *WATER}
    present |= {part for species, _level in mix.saturated for part in known.of(species)}
    return present | {part for species, _count in mix.until for part in known.of(species)}


def _complexes(constants, present):
    """{complex: the solver's name of it} of all whose parts are in the mixture."""
    made = book(constants).made
    return {
        c.name: word_of(c.name, made[c.name])
        for c in constants.values.values()
        if c.kind == "complexes" and set(made[c.name].parts) <= present
    }


def _possible(constants, present, mix):
    """Solids all of whose parts are in the mixture."""
    known = book(constants)
    allowed = [c for c in constants.values.values() if c.kind == "solids"]
    if mix.solids is None:
        allowed = [c for c in allowed if not c.aged]
    else:
        allowed = [c for c in allowed if c.name in mix.solids]
    return [c.name for c in allowed if set(known.of(c.name)) <= present]


def _input(constants, mix, totals, names, complexes):
    """The solver's input: the mixture as mixed; then gas and reagent; then the solids, too."""
    kept = [f"{level(species)} {log10(amount):.6f} {ENOUGH}" for species, amount in mix.saturated]
    if mix.until:
        kept.append(f"{FIXED_PH} {-mix.until_pH:.6f} {_reagent(constants, mix.until)} {ENOUGH}")
    solids = [f"{phase(name)} 0 0" for name in names]
    balance = sum(charge(species) * amount for species, amount in mix.totals)
    lines = ["SOLUTION 1", "units mol/kgw", "pH {pH} charge"]
    lines += [f"{label(part)} {amount:.12g}" for part, amount in totals.items() if amount > 0]
    if abs(balance) > 1e-15:
        lines.append(f"{ANION if balance > 0 else CATION} {abs(balance):.12g}")
    lines += [*_output(totals, names, complexes, mix), "END"]
    lines += ["USE solution 1", "EQUILIBRIUM_PHASES 1", *kept, "END"] if kept else []
    lines += ["USE solution 1", "EQUILIBRIUM_PHASES 2", *kept, *solids, "END"] if solids or not kept else []
    return "\n".join(lines)


def _output(totals, names, complexes, mix):
    asked = [*(phase(n) for n in names), *(level(s) for s, _amount in mix.saturated)]
    asked += [FIXED_PH] if mix.until else []
    return [
        "SELECTED_OUTPUT",
        "-reset false",
        "-high_precision true",
        "-pH true",
        "-ionic_strength true",
        "-water true",
        f"-totals {' '.join(label(part) for part in totals)}",
        f"-saturation_indices {' '.join(phase(n) for n in names)}",
        f"-molalities {' '.join(complexes.values())}",
        f"-equilibrium_phases {' '.join(asked)}",
    ]


def _reagent(constants, gives):
    """The formula by which the solver adds a reagent: neutral as a whole, spelt by its parts."""
    known, parts = book(constants), Counter()
    for species, count in gives:
        for part, number in known.of(species).items():
            parts[part] += number * count
    if sum(charge(part) * number for part, number in parts.items()):
        raise EquilibriumError(f"A reagent must be neutral, and {dict(gives)} is not.")
    return spelt({part: number for part, number in parts.items() if number})


def _result(mix, totals, names, complexes, rows):
    last = len(rows["pH"]) - 1
    before = max(last - 1, 0) if names else last
    added = ENOUGH - rows[FIXED_PH][last] if mix.until else 0.0
    water = rows["mass_H2O"][last]  # kg, of the 1 kg begun with: what is per kg becomes per mixture
    return Equilibrium(
        pH=rows["pH"][last],
        ionic_strength=rows["mu"][last],
        totals=totals,
        solids={name: rows[phase(name)][last] for name in names if rows[phase(name)][last] > 0},
        saturation={name: rows[f"si_{phase(name)}"][before] for name in names},
        dissolved={part: water * rows[f"{label(part)}(mol/kgw)"][last] for part in totals},
        added=added,
        complexes={name: water * rows[f"m_{word}(mol/kgw)"][last] for name, word in complexes.items()},
    )
