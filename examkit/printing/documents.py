"""What is printed, as plain records: one for each kind of sheet. Nothing here knows the database."""

from dataclasses import dataclass
from datetime import date

PAPERS = {"a4": "A4", "letter": "US Letter"}
CLP_SHORT_mm, CLP_LONG_mm = 52, 74  # a smaller label holds codes in place of statements


@dataclass(frozen=True)
class Heading:
    """What stands at the head of every sheet."""

    centre: str
    exam: str
    held_on: date | None
    paper: str = "a4"


@dataclass(frozen=True)
class SheetLine:
    """One test on a candidate's sheet: its title and its cautions, with room to write."""

    title: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class SheetStage:
    """The tests of one stage of the scheme."""

    title: str
    lines: tuple[SheetLine, ...]


@dataclass(frozen=True)
class Place:
    """One candidate and where they sit: all that differs from sheet to sheet. It has no salt."""

    code: str
    number: str
    name: str
    bench: str
    sitting: str
    starts: str


@dataclass(frozen=True)
class RecordSheets:
    """The candidates' record sheets of an exam: the same scheme for each, one place each."""

    heading: Heading
    scheme: str
    stages: tuple[SheetStage, ...]
    places: tuple[Place, ...]


@dataclass(frozen=True)
class LabelSheet:
    """A sheet of labels in millimetres."""

    width_mm: float
    height_mm: float
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    margin_left_mm: float
    margin_top_mm: float
    gap_x_mm: float
    gap_y_mm: float
    inset_mm: float

    @property
    def size(self):
        """Labels on one sheet."""
        return self.columns * self.rows

    def at_least(self, short_mm, long_mm):
        """Whether a label is at least so large, either way round."""
        short, long = sorted((self.label_width_mm, self.label_height_mm))
        return short >= short_mm and long >= long_mm

    @property
    def small(self):
        """Whether a label is smaller than the least size for a package of up to 3 L."""
        return not self.at_least(CLP_SHORT_mm, CLP_LONG_mm)

    @property
    def tiny(self):
        """Whether there is room for little more than a code."""
        return self.label_height_mm < 24 or self.label_width_mm < 45


@dataclass(frozen=True)
class SampleLabels:
    """Labels of the sample tubes: codes, and the same hazards on all: those of the whole pool together."""

    heading: Heading
    sheet: LabelSheet
    codes: tuple[str, ...]
    signal: str
    pictograms: tuple[str, ...]
    statements: tuple[str, ...]
    statement_codes: tuple[str, ...]


@dataclass(frozen=True)
class TrayCard:
    """What stands on one bench: the sample codes with their sittings, and the whole label of all of them."""

    room: str
    bench: str
    codes: tuple[tuple[str, str], ...]  # sitting, code


@dataclass(frozen=True)
class TrayCards:
    """A card for each tray: what a small tube has no room for, the same hazards on all."""

    heading: Heading
    sheet: LabelSheet
    cards: tuple[TrayCard, ...]
    signal: str
    pictograms: tuple[str, ...]
    statements: tuple[str, ...]


@dataclass(frozen=True)
class StockLabel:
    """A reagent bottle's label; date and initials are written by whoever makes it up."""

    name: str
    strength: str
    signal: str
    statements: tuple[str, ...]
    pictograms: tuple[str, ...]
    shelf_life: str
    place: str
    statement_codes: tuple[str, ...] = ()
    bench: str = ""


@dataclass(frozen=True)
class StockLabels:
    """Labels of the reagent bottles."""

    heading: Heading
    sheet: LabelSheet
    labels: tuple[StockLabel, ...]


@dataclass(frozen=True)
class WeighLine:
    """A salt on the lab assistant's list."""

    salt: str
    formula: str
    tubes: int
    spare: int
    total_g: str
    codes: tuple[str, ...]
    hazards: tuple[str, ...]
    low_g: str
    high_g: str


@dataclass(frozen=True)
class MakeLine:
    """A reagent on the lab assistant's list."""

    name: str
    total: str
    bottle: str
    place: str
    source: tuple[str, ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    shelf_life: str
    tryout: str = ""


@dataclass(frozen=True)
class WasteLine:
    """A waste container on the lab assistant's list."""

    title: str
    how: str
    never: str
    volume: str
    vessel_mL: int


@dataclass(frozen=True)
class AssistantList:
    """What the lab assistant weighs, makes up, puts out and collects."""

    heading: Heading
    candidates: int
    benches: int
    tube_g: str
    salts: tuple[WeighLine, ...]
    reagents: tuple[MakeLine, ...]
    orders: tuple[str, ...]
    waste: tuple[WasteLine, ...]


@dataclass(frozen=True)
class KeyLine:
    """One line of the expected record."""

    title: str
    done: bool
    text: str
    accepted: tuple[str, ...]
    inference: str
    equations: tuple[str, ...]
    marginal: bool


@dataclass(frozen=True)
class KeyBottle:
    """A bottle for which something else is accepted: the codes filled from it, and what in which test."""

    named: str
    codes: tuple[str, ...]
    accepted: tuple[tuple[str, str, str], ...]  # title of the test, what is accepted, why


@dataclass(frozen=True)
class KeySalt:
    """A salt with its codes and its expected record."""

    name: str
    formula: str
    cations: str
    anions: str
    codes: tuple[str, ...]
    lines: tuple[KeyLine, ...]
    bottles: tuple[KeyBottle, ...] = ()


@dataclass(frozen=True)
class MarkingKey:
    """The expected record of every drawn salt."""

    heading: Heading
    scheme: str
    edition: str
    salts: tuple[KeySalt, ...]


@dataclass(frozen=True)
class PlanBench:
    """One place on a plan: a bench with its label and the lines written in it, or a fixture (`what`)."""

    label: str
    lines: tuple[str, ...] = ()
    closed: bool = False
    left_handed: bool = False
    what: str = ""  # "sink" or "fume cupboard"


@dataclass(frozen=True)
class PlanSitting:
    """A sitting's room, row by row from the front; None where there is nothing."""

    name: str
    room: str
    starts: str
    rows: tuple[tuple[PlanBench | None, ...], ...]


@dataclass(frozen=True)
class BenchPlan:
    """Who or what is at which bench: codes with candidates, or codes with salts, never both."""

    heading: Heading
    for_whom: str
    note: str
    sittings: tuple[PlanSitting, ...]


@dataclass(frozen=True)
class TrayRoom:
    """What goes to one room: its trays with the codes of each sitting, and its fume cupboard."""

    room: str
    candidates: int
    sittings: tuple[str, ...]
    trays: tuple[tuple[str, tuple[str, ...]], ...]  # bench, codes
    cupboard: tuple[tuple[str, str], ...]  # reagent, amount


@dataclass(frozen=True)
class TrayList:
    """What stands on every bench alike, and what goes to each room; codes, no candidates and no salts."""

    heading: Heading
    bench_set: tuple[tuple[str, str], ...]  # reagent, in the bottle
    rooms: tuple[TrayRoom, ...]
