"""Records of how the work is done: operations, tests, and the schemes that they stand in. All are frozen."""

from dataclasses import dataclass, field

from examkit.chemistry.knowledge.citations import Citation

STAGES = ("preliminary", "dry", "wet", "anion")
PORTIONS = (  # what an operation can take; the last two: of what stands in the tube of this test
    "solid",
    "original solution",
    "extract",
    "tube",
    "residue",
    "part",
)
DOINGS = (  # what can be done in a test: the verbs of an operation
    "take",
    "add",
    "dilute",
    "pass",
    "shake",
    "rub",
    "warm",
    "boil",
    "evaporate",
    "cool",
    "stand",
    "heat",
    "centrifuge",
    "wash",
    "test",
    "look",
)
WITH_REAGENT = ("add", "pass", "test", "wash")  # what they name, if anything, is a reagent of the shelf
DROP_mL = 0.05  # a drop of a usual dropper: 20 to the mL


@dataclass(frozen=True, eq=False)
class Facet:
    """One thing to look for in a test: its steps, and how several ions are seen together."""

    key: str
    title: str
    steps: tuple[str, ...]
    none: str
    combine: str = "all"  # all | darkest | strongest | first
    sorts: tuple[dict, ...] = field(default=())
    points_at: tuple[str, ...] = ()  # kinds of ions that a salt's own outcome points at
    salts: bool = False  # backward runs try every salt of the syllabus, not only its ions
    of: tuple[str, ...] = ()  # a confirmatory test: the ions that it confirms; empty: any
    kinds: tuple[str, ...] = ()  # kinds of ions that must have a fact here, or say that they show nothing
    portion: str = ""  # solid: tried on the dry salt, though the test as a whole works on a solution
    fallen: bool = False  # what falls as the salts of a mixture meet in water is seen here, too


@dataclass(frozen=True)
class Operation:
    """One thing done in a test. Which of the others mean something depends on `do`."""

    do: str  # one of DOINGS
    what: str = ""  # the portion taken, the reagent added or passed, what is kept after the centrifuge
    drops: int = 0
    mL: float = 0.0
    g: float = 0.0
    strips: int = 0
    until_pH: float | None = None  # added drop by drop until this pH; the amount is then what is made ready
    to_mL: float = 0.0  # volume of all that is in the tube afterwards
    celsius: float = 0.0
    minutes: float = 0.0
    times: int = 0
    drives_off: tuple[str, ...] = ()  # gases, volatile reagents (by formula) and anions that leave
    keeps: tuple[tuple[str, float], ...] = ()  # a gas that is passed: mol/L of a species kept dissolved
    beyond: str = ""  # why nothing from here on in this test can be calculated ...
    beyond_of: tuple[str, ...] = ()  # ... of these ions; empty: of any
    optional: bool = False  # a second way, made ready only where the school wants it
    instead_of: str = ""  # the reagent that this one stands for
    facet: str = ""  # of a look; empty: the way's own facet, or `tube`
    step: str = ""
    note: str = ""

    @property
    def volume_mL(self):
        """What it adds to the tube, in mL."""
        return self.mL or round(self.drops * DROP_mL, 4)


@dataclass(frozen=True, eq=False)
class Test:
    """A test of a scheme: why, how, with what, and what to look for."""

    __test__ = False  # pytest: this is not a test class

    id: str
    title: str
    stage: str
    kinds: tuple[str, ...]
    portion: str
    purpose: str
    procedure: str
    facets: dict[str, Facet]
    operations: dict[str, tuple[Operation, ...]]  # by facet where each facet is a way of its own, else by ""
    apparatus: tuple[str, ...]
    cautions: tuple[str, ...]
    applies: dict
    sources: tuple[Citation, ...]
    choose: str = "all"  # all facets are looked at, or one of them does (confirmatory tests)
    never: dict[str, str] = field(default_factory=dict)  # ion -> why this test is never done with it


@dataclass(frozen=True, eq=False)
class Stage:
    """One entry of a scheme: a test, what is done before it, the fraction it takes and those it leaves."""

    test: str
    group: str = ""
    becomes: dict[str, str] = field(default_factory=dict)
    removes: tuple[str, ...] = ()  # anions that are taken out first
    by: str = ""
    takes: str = "solution"
    precipitate: str = ""  # name of the fraction that falls
    solution: str = ""  # name of the fraction that stays dissolved; empty: the one that was taken goes on
    each: bool = False  # done on each cation, separated from the others
    always: bool = False  # done whatever the test's own `applies` says
    operations: dict[str, tuple[Operation, ...]] = field(default_factory=dict)  # in place of the test's own
    first: tuple[Operation, ...] = ()  # what `before` takes: made ready where an anion of `removes` was drawn


@dataclass(frozen=True, eq=False)
class Scheme:
    """A scheme of analysis: its tests in order, its groups, its syllabus, its amounts."""

    key: str
    title: str
    specimen: str  # one | mixture
    grams: float
    sample_g: float
    cations: tuple[str, ...]
    anions: tuple[str, ...]
    stages: tuple[Stage, ...]
    groups: dict[str, dict]
    stops_at_first_group: bool = True
    sources: tuple[Citation, ...] = ()
    original_g_mL: float = 0.0  # salt in 1 mL of the original solution
    extract_g_mL: float = 0.0  # the same for the sodium carbonate extract
    tube_mL: float = 1.0  # of the original solution that goes through the groups
    driven_off: tuple[str, ...] = ()  # anions that acid and boiling drive out of the original solution
    extract_loses: tuple[str, ...] = ()  # anions driven out of the extract, unless water made it
