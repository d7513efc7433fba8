"""Schemes of analysis and mark schemes: the shape of their files, and the record of a scheme."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from examkit.chemistry.knowledge.citations import citations_of
from examkit.chemistry.knowledge.operations import operations, ways
from examkit.chemistry.knowledge.shapes import Amount, Cites, OperationShape, Shape, Word
from examkit.chemistry.knowledge.work import Scheme, Stage


class Before(Shape):
    becomes: dict[str, str] = {}
    removes: list[Word] = []
    by: str = ""
    operations: list[OperationShape] = []


class Entry(Shape):
    test: Word
    group: str = ""
    before: list[Before] = []
    takes: Word = "solution"
    precipitate: str = ""
    solution: str = ""
    each: bool = False
    always: bool = False
    operations: list[OperationShape] | dict[str, list[OperationShape]] = []


class GroupShape(Shape):
    cations: list[Word]
    reagent: str = ""


class Syllabus(Shape):
    cations: Annotated[list[Word], Field(min_length=1)]
    anions: Annotated[list[Word], Field(min_length=1)]


class SolutionsShape(Shape):
    original_g_mL: Amount = 0
    extract_g_mL: Amount = 0
    tube_mL: Annotated[float | int, Field(gt=0)] = 1
    driven_off: list[Word] = []
    extract_loses: list[Word] = []


class SchemeFile(Shape):
    scheme: Word
    title: Word
    specimen: Literal["one", "mixture"]
    grams: float | int
    sample_g: float | int
    syllabus: Syllabus
    tests: Annotated[list[Entry], Field(min_length=1)]
    groups: dict[str, GroupShape]
    stops_at_first_group: bool = True
    solutions: SolutionsShape = SolutionsShape()
    source: Cites


class MarkSchemeFile(Shape):
    """Its inner shape is checked where it is used, in grading/scoring."""

    model_config = ConfigDict(extra="allow")
    mark_scheme: Word
    title: Word


def scheme(shape):
    """The record of a scheme file."""
    return Scheme(
        key=shape.scheme,
        title=shape.title,
        specimen=shape.specimen,
        grams=float(shape.grams),
        sample_g=float(shape.sample_g),
        cations=tuple(shape.syllabus.cations),
        anions=tuple(shape.syllabus.anions),
        stages=tuple(map(_stage, shape.tests)),
        groups={name: group.model_dump() for name, group in shape.groups.items()},
        stops_at_first_group=shape.stops_at_first_group,
        sources=citations_of(shape.source),
        original_g_mL=float(shape.solutions.original_g_mL),
        extract_g_mL=float(shape.solutions.extract_g_mL),
        tube_mL=float(shape.solutions.tube_mL),
        driven_off=tuple(shape.solutions.driven_off),
        extract_loses=tuple(shape.solutions.extract_loses),
    )


def _stage(entry):
    becomes = {old: new for before in entry.before for old, new in before.becomes.items()}
    return Stage(
        test=entry.test,
        group=entry.group,
        becomes=becomes,
        removes=tuple(ion for before in entry.before for ion in before.removes),
        by="; ".join(before.by for before in entry.before if before.by),
        takes=entry.takes,
        precipitate=entry.precipitate,
        solution=entry.solution,
        each=entry.each,
        always=entry.always,
        operations=ways(entry.operations),
        first=operations([each for before in entry.before for each in before.operations]),
    )
