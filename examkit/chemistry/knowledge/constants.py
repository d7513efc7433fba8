"""Equilibrium constants: the shape of the files in constants/, their records, and what must hold for them."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, TypeAdapter

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.chemistry.knowledge.citations import citations_of
from examkit.chemistry.knowledge.equilibrium import Constant, Constants, OtherValue, Settled, Thresholds
from examkit.chemistry.knowledge.shapes import Cites, Shape, Word

Number = float | int
WATER = ("H+", "H2O")  # what every reaction in water may be written with


class OtherShape(Shape):
    log_k: Number
    source: Cites
    reaction: str = ""


class ConstantShape(Shape):
    species: Word
    reaction: Word
    log_k: Number
    source: Cites
    temperature_C: Number | None = None
    form: str = ""
    aged: bool = False
    why: str = ""
    also: list[OtherShape] = []


class ValuesFile(Shape):
    kind: Literal["solids", "acids", "complexes"]
    temperature_C: Number
    constants: Annotated[list[ConstantShape], Field(min_length=1)]


class BasisFile(Shape):
    kind: Literal["basis"]
    basis: Annotated[list[Word], Field(min_length=1)]
    gives: dict[str, dict[str, int]] = {}
    solvents: dict[str, dict[str, Number]] = {}


class ThresholdsFile(Shape):
    kind: Literal["thresholds"]
    visible_mg_L: Number
    clear_mg_L: Number
    clear_fraction: Number
    clear_si: Number
    doubt_si: Number
    source: Cites


class SettledShape(Shape):
    test: Word
    ion: Word
    step: str = ""
    why: Word
    source: Cites


class SettledFile(Shape):
    kind: Literal["settled"]
    settled: list[SettledShape]


ConstantsFile = Annotated[ValuesFile | BasisFile | ThresholdsFile | SettledFile, Discriminator("kind")]
ADAPTER = TypeAdapter(ConstantsFile)


def records(documents):
    """The Constants of all files of the folder."""
    files = [value for _document, value in documents]
    values = {}
    for file in files:
        if isinstance(file, ValuesFile):
            values |= {name(item): _constant(file, item) for item in file.constants}
    basis = next((file for file in files if isinstance(file, BasisFile)), None)
    limits = next((file for file in files if isinstance(file, ThresholdsFile)), None)
    return Constants(
        basis=tuple(basis.basis) if basis else (),
        gives=basis.gives if basis else {},
        solvents=_strengths(basis.solvents) if basis else {},
        values=values,
        thresholds=_thresholds(limits) if limits else None,
        settled=tuple(
            Settled(item.test, item.step, item.ion, item.why, citations_of(item.source))
            for file in files
            if isinstance(file, SettledFile)
            for item in file.settled
        ),
    )


def _strengths(solvents):
    return {
        solvent: {species: float(amount) for species, amount in left.items()}
        for solvent, left in solvents.items()
    }


def name(item):
    """What a constant goes by: its species, with the form where there are several: `CoS (alpha)`."""
    return f"{item.species} ({item.form})" if item.form else item.species


def _constant(file, item):
    return Constant(
        name=name(item),
        kind=file.kind,
        species=item.species,
        reaction=item.reaction,
        log_k=float(item.log_k),
        temperature_C=float(file.temperature_C if item.temperature_C is None else item.temperature_C),
        sources=citations_of(item.source),
        aged=item.aged,
        why=item.why,
        also=tuple(
            OtherValue(float(other.log_k), other.reaction or item.reaction, citations_of(other.source))
            for other in item.also
        ),
    )


def _thresholds(file):
    return Thresholds(
        float(file.visible_mg_L),
        float(file.clear_mg_L),
        float(file.clear_fraction),
        float(file.clear_si),
        float(file.doubt_si),
        citations_of(file.source),
    )


def terms(reaction):
    """Both sides of a reaction as lists of (count, species).

    >>> terms("PbCl2 -> Pb2+ + 2 Cl-")
    ([(1, 'PbCl2')], [(1, 'Pb2+'), (2, 'Cl-')])
    """
    left, right = reaction.split(" -> ")
    return _side(left), _side(right)


def _side(text):
    result = []
    for term in text.split(" + "):
        count, _space, species = term.strip().rpartition(" ")
        result.append((int(count or 1), species))
    return result


def cited(documents):
    """(document, path, cites) of everything in the folder that cites."""
    for document, file in documents:
        if isinstance(file, ThresholdsFile):
            yield document, ("source",), file.source
        for index, item in enumerate(getattr(file, "settled", ())):
            yield document, ("settled", index, "source"), item.source
        for index, item in enumerate(getattr(file, "constants", ())):
            yield document, ("constants", index, "source"), item.source
            for place, other in enumerate(item.also):
                yield document, ("constants", index, "also", place, "source"), other.source


def citations(constants):
    """The citations of every constant, other value, settlement and threshold of a loaded base."""
    for constant in constants.values.values():
        yield constant.sources
        yield from (other.sources for other in constant.also)
    yield from (settled.sources for settled in constants.settled)
    if constants.thresholds:
        yield constants.thresholds.sources


def problems(base, documents):
    """Reactions that do not balance, species that nothing defines, constants given twice."""
    known = {*base.constants.basis, *WATER}
    known |= {constant.species for constant in base.constants.values.values() if constant.kind != "solids"}
    seen = {}
    for document, file in documents:
        for index, item in enumerate(getattr(file, "constants", ())):
            path = ("constants", index, "reaction")
            if name(item) in seen:
                what = f"'{name(item)}' stands in {seen[name(item)]} too."
                hint = "Keep one, the other under its `also`, or give each a `form`."
                yield document.problem(path, what, hint)
            seen[name(item)] = document.file
            yield from _reaction_problems(document, path, file.kind, item, known)
        if isinstance(file, BasisFile):
            yield from _gives_problems(document, file, known)


def _reaction_problems(document, path, kind, item, known):
    for reaction in (item.reaction, *(other.reaction for other in item.also if other.reaction)):
        try:
            formula.check_equation(reaction)
            left, right = terms(reaction)
        except (FormulaError, ValueError) as error:
            yield document.problem(path, str(error))
            continue
        species = [word for _count, word in (*left, *right)]
        if item.species not in species:
            yield document.problem(path, f"the reaction of '{item.species}' does not hold it.")
        if kind == "solids" and left[0] != (1, item.species):
            yield document.problem(path, f"a solid dissolves: begin the reaction with one '{item.species}'.")
        for word in sorted(set(species) - known - {item.species}):
            hint = "Add it to constants/basis.yaml, or give it a constant of its own."
            yield document.problem(path, f"nothing defines '{word}'.", hint)


def _gives_problems(document, file, known):
    for text, gives in file.gives.items():
        for word in sorted(set(gives) - known):
            yield document.problem(("gives", text), f"nothing defines '{word}'.")
        equation = f"{text} -> " + " + ".join(f"{count} {word}" for word, count in gives.items())
        try:
            formula.check_equation(equation)
        except FormulaError as error:
            yield document.problem(("gives", text), str(error))
