"""The records that the knowledge base becomes when it is loaded. All are frozen.

What has a place in the base (`eq=False`) is known by identity, so that it can be a key of a cache at no cost.
"""

from dataclasses import dataclass, field

EVENTS = (
    "none",
    "precipitate",
    "dissolves",
    "gas",
    "colour",
    "residue",
    "sublimate",
    "flame",
    "bead",
    "smell",
    "effervescence",
    "crackling",
    "melts",
)
STAGES = ("preliminary", "dry", "wet", "anion")
SOLVENTS = (  # in the order of the trial
    "cold water",
    "hot water",
    "dilute HCl",
    "dilute HNO3",
    "conc HCl",
    "conc HNO3",
    "aqua regia",
    "nothing",
)

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


@dataclass(frozen=True)
class Citation:
    """A source key and the place where the fact was read."""

    key: str
    at: str = ""


@dataclass(frozen=True)
class Source:
    """A book, page or habit that facts are taken from."""

    key: str
    cite: str
    kind: str  # read | common practice | memory


@dataclass(frozen=True)
class Outcome:
    """One thing seen at one step of a test; `colours` are words any of which is right."""

    event: str
    step: str = ""
    colours: tuple[str, ...] = ()
    texture: str | None = None
    product: str | None = None
    gas: str | None = None
    smell: str | None = None
    also_seen: str | None = None
    strength: int = 0

    @property
    def seen(self):
        """Whether anything at all is seen."""
        return self.event != "none"


@dataclass(frozen=True)
class Alternative:
    """Another published outcome of the same facet, or what is seen when other ions are present.

    `salt_of`: what is seen where the ion came in a salt of one of these (mercury chloride hardly ionises).
    """

    seen: tuple[Outcome, ...]
    sources: tuple[Citation, ...]
    present: tuple[str, ...] = ()
    equations: tuple[str, ...] = ()
    salt_of: tuple[str, ...] = ()

    @property
    def beside(self):
        """The ions whose presence, in the tube or in the same salt, makes it be seen."""
        return (*self.present, *self.salt_of)


@dataclass(frozen=True, eq=False)
class Fact:
    """What one ion (or salt) shows in one facet of one test."""

    subject: str
    test: str
    facet: str
    seen: tuple[Outcome, ...]
    sources: tuple[Citation, ...]
    equations: tuple[str, ...] = ()
    also: tuple[Alternative, ...] = ()
    when: tuple[Alternative, ...] = ()
    remark: str = ""
    margin: str = "clear"  # clear | marginal
    leaves: str = ""  # "part": some of the ion stays in solution


@dataclass(frozen=True, eq=False)
class Ion:
    """A cation or an anion: what it shows by (test, facet), where it shows nothing by (test, facet or "")."""

    formula: str
    name: str
    names: tuple[str, ...]
    charge: int
    facts: dict[tuple[str, str], Fact]
    silent: dict[tuple[str, str], tuple[Citation, ...]] = field(default_factory=dict)

    @property
    def kind(self):
        """`cation` or `anion`."""
        return "cation" if self.charge > 0 else "anion"


@dataclass(frozen=True)
class Hazards:
    """GHS signal word, statement codes and pictogram keys of a substance."""

    signal: str = ""
    statements: tuple[str, ...] = ()
    pictograms: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Salt:
    """A salt as sold."""

    formula: str
    name: str
    names: tuple[str, ...]
    ions: dict[str, int]
    cations: tuple[str, ...]
    anions: tuple[str, ...]
    water: float  # molecules of crystal water per formula unit
    molar_mass_g_mol: float
    cas: str
    colour: tuple[str, ...]
    form: str
    moisture: str
    odour: str
    dissolves_in: str
    solution: tuple[str, ...]
    keeping: str
    hazards: Hazards
    sources: tuple[Citation, ...]
    hazard_sources: tuple[Citation, ...]
    facts: dict[tuple[str, str], Fact]
    ages: dict[str, str] = field(default_factory=dict)  # ion -> what air turns it into, in part
    extract: str = "whole"  # whole | none: whether sodium carbonate brings the anion into solution


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
class Reagent:
    """A reagent of the shelf: strength, make-up, hazards, how long it keeps."""

    key: str
    name: str
    formula: str
    kind: str
    strength_mol_L: float | None
    percent_w_w: float | None
    percent_w_v: float | None
    density_g_mL: float | None
    made_from: dict
    procedure: str
    hazards: Hazards
    shelf_life: str
    cautions: tuple[str, ...]
    sources: tuple[Citation, ...]


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


@dataclass(frozen=True)
class Colour:
    """A colour word, what it is a shade of, other words for it, and a swatch with its source."""

    word: str
    under: tuple[str, ...]
    like: tuple[str, ...]
    swatch: str
    sources: tuple[Citation, ...] = ()


@dataclass(frozen=True)
class Refusal:
    """A pair of ions that makes no salt that keeps, one `salt` that is not given out, or two kinds of salts
    that are never mixed (`together`: the ions of the one, of the other); and why."""

    cation: str
    anion: str
    reason: str
    sources: tuple[Citation, ...]
    salt: str = ""
    names: tuple[str, ...] = ()
    together: tuple[tuple[str, ...], ...] = ()

    def parts(self, salts):
        """Two of these salts, as (salt, salt), that are never mixed; None where there are none."""
        if not self.together:
            return None
        firsts, seconds = ([s for s in salts if set(ions) & set(s.ions)] for ions in self.together)
        pairs = ((first, second) for first in firsts for second in seconds if first is not second)
        return next(pairs, None)

    def refuses(self, formula, ions):
        """Whether this formula, of these ions, is what is refused."""
        if self.salt:
            return formula == self.salt
        cations = [ion for ion in ions if ion.endswith("+")]
        return cations == [self.cation] and self.anion in ions


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


@dataclass(frozen=True, eq=False)
class Knowledge:
    """The whole knowledge base of one edition (`edition` is its digest)."""

    edition: str
    sources: dict[str, Source]
    colours: dict[str, Colour]
    ions: dict[str, Ion]
    salts: dict[str, Salt]
    tests: dict[str, Test]
    reagents: dict[str, Reagent]
    schemes: dict[str, Scheme]
    mark_schemes: dict[str, dict]
    refusals: tuple[Refusal, ...]
    statements: dict[str, str]
    hazard_classes: dict[str, dict]  # class -> codes from worst to mildest, and the worst for school age
    pictograms: dict[str, dict]
    labels: dict[str, dict]
    waste: dict[str, object] = field(
        hash=False
    )  # what is collected apart, and what stays in the fume cupboard
    words: dict[str, object] = field()  # the other files of words/, by file name
    constants: Constants = field(default_factory=Constants)
    elsewhere: tuple[tuple[Citation, ...], ...] = ()  # what hazards, labels, waste and mark schemes cite
