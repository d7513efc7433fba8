"""The shape of each knowledge file, as pydantic models: which keys there are, and what may stand in them."""

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from examkit.chemistry.knowledge.model import EVENTS, SOLVENTS
from examkit.chemistry.knowledge.work import DOINGS, STAGES

Word = Annotated[str, Field(min_length=1)]
Event = Literal[EVENTS]
Amount = Annotated[float | int, Field(ge=0)]


def _text(value):
    return str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value


def _cite(value):
    return {"key": value} if isinstance(value, str) else value


class Shape(BaseModel):
    """No unknown keys, no silent conversions."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Cite(Shape):
    key: Word
    at: Annotated[str, BeforeValidator(_text)] = ""
    inferred: bool = False


Cites = Annotated[list[Annotated[Cite, BeforeValidator(_cite)]], Field(min_length=1)]


class SourceFile(Shape):
    key: Word
    cite: Word
    kind: Literal["read", "common practice", "memory"]


class OutcomeShape(Shape):
    event: Event
    step: str = ""
    colours: list[Word] = []
    texture: str | None = None
    product: str | None = None
    gas: str | None = None
    smell: str | None = None
    also_seen: str | None = None
    strength: int = 0


Seen = Annotated[list[OutcomeShape], Field(min_length=1)]


class AlternativeShape(Shape):
    seen: Seen
    source: Cites
    present: list[Word] = []
    salt_of: list[Word] = []
    equations: list[Word] = []
    remark: str = ""


class FactShape(Shape):
    seen: Seen
    source: Cites
    equations: list[Word] = []
    also: list[AlternativeShape] = []
    when: list[AlternativeShape] = []
    remark: str = ""
    margin: Literal["clear", "marginal"] = "clear"
    leaves: Literal["", "part"] = ""


class SilentShape(Shape):
    tests: list[Word]
    source: Cites


class IonFile(Shape):
    ion: Word
    name: Word
    names: list[Word] = []
    tests: dict[str, dict[str, FactShape]] = {}
    silent: list[SilentShape] = []


class HazardShape(Shape):
    signal: str | None = ""
    statements: list[Word] = []
    pictograms: list[Word] = []


class SaltShape(Shape):
    formula: Word
    name: Word
    names: list[Word] = []
    ions: dict[str, int]
    besides: dict[str, int] = {}
    cas: Word
    colour: list[Word]
    form: Word
    moisture: Literal["none", "hygroscopic", "deliquescent", "efflorescent"]
    odour: str | None = None
    dissolves_in: Literal[SOLVENTS]
    solution: list[Word] = []
    extract: Literal["whole", "none"] = "whole"
    ages: dict[str, Word] = {}
    keeping: str = ""
    hazards: HazardShape
    source: Cites
    hazard_source: Cites
    tests: dict[str, dict[str, FactShape]] = {}


class SaltFile(Shape):
    cation: Word
    salts: list[SaltShape]


class FacetShape(Shape):
    title: str
    steps: list[str] = []
    none: str = ""
    combine: Literal["all", "darkest", "strongest", "first"] = "all"
    sorts: list[dict] = []
    points_at: list[Literal["cation", "anion"]] = []
    kinds: list[Literal["cation", "anion"]] | None = None
    of: list[Word] = []
    salts: bool = False
    fallen: bool = False


class OperationShape(Shape):
    do: Literal[DOINGS]
    what: str = ""
    drops: Annotated[int, Field(ge=0)] = 0
    mL: Amount = 0
    g: Amount = 0
    strips: Annotated[int, Field(ge=0)] = 0
    until_pH: Annotated[float | int, Field(ge=0, le=14)] | None = None
    to_mL: Amount = 0
    celsius: Amount = 0
    minutes: Amount = 0
    times: Annotated[int, Field(ge=0)] = 0
    drives_off: list[Word] = []
    keeps: dict[Word, Amount] = {}
    beyond: str = ""
    beyond_of: list[Word] = []
    optional: bool = False
    instead_of: str = ""
    facet: str = ""
    step: str = ""
    note: str = ""


class TestFile(Shape):
    test: Word
    title: Word
    stage: Literal[STAGES]
    kinds: list[Literal["cation", "anion"]]
    portion: Literal["solid", "original solution", "tube", "extract"]
    purpose: Word
    procedure: Word
    facets: dict[str, FacetShape]
    choose: Literal["all", "one"] = "all"
    operations: list[OperationShape] | dict[str, list[OperationShape]]
    apparatus: list[str] = []
    cautions: list[str] = []
    applies: dict = {}
    never: dict[str, Word] = {}
    source: Cites


class ReagentFile(Shape):
    key: Word
    name: Word
    formula: str | None = ""
    kind: Literal["solution", "solid", "gas", "paper", "concentrated", "liquid"]
    strength_mol_L: float | int | None = None
    percent_w_w: float | int | None = None
    percent_w_v: float | int | None = None
    density_g_mL: float | int | None = None
    made_from: dict = {}
    procedure: str = ""
    hazards: HazardShape = HazardShape()
    shelf_life: str = ""
    cautions: list[str] = []
    told_as: list[Word] = []
    medium: bool = False
    check: str = ""
    source: Cites
    hazard_source: Cites = [Cite(key="memory")]


class ColourShape(Shape):
    word: Word
    under: list[Word] = []
    like: list[Word] = []
    swatch: Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")]
    source: Cites


class RefusalShape(Shape):
    cation: str = ""
    anion: str = ""
    salt: str = ""
    names: list[Word] = []
    together: list[list[Word]] = []
    reason: Word
    source: Cites
