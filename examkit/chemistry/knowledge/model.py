"""The records that the knowledge base becomes when it is loaded. All are frozen and hashable by identity."""

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
SOLVENTS = ("cold water", "hot water", "dilute HCl", "conc HCl", "conc HNO3", "aqua regia", "nothing")


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
    """Another published outcome of the same facet, or what is seen when other ions are present."""

    seen: tuple[Outcome, ...]
    sources: tuple[Citation, ...]
    present: tuple[str, ...] = ()
    equations: tuple[str, ...] = ()


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Ion:
    """A cation or an anion: what it shows by (test, facet), where it shows nothing by (test, facet or "")."""

    formula: str
    name: str
    names: tuple[str, ...]
    charge: int
    facts: dict[tuple[str, str], Fact] = field(hash=False)
    silent: dict[tuple[str, str], tuple[Citation, ...]] = field(default_factory=dict, hash=False)

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


@dataclass(frozen=True)
class Salt:
    """A salt as sold."""

    formula: str
    name: str
    names: tuple[str, ...]
    ions: dict[str, int] = field(hash=False)
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
    facts: dict[tuple[str, str], Fact] = field(hash=False)


@dataclass(frozen=True)
class Facet:
    """One thing to look for in a test: its steps, and how several ions are seen together."""

    key: str
    title: str
    steps: tuple[str, ...]
    none: str
    combine: str = "all"  # all | darkest | strongest | first
    sorts: tuple[dict, ...] = field(default=(), hash=False)
    points_at: tuple[str, ...] = ()  # kinds of ions that a salt's own outcome points at
    salts: bool = False  # backward runs try every salt of the syllabus, not only its ions
    of: tuple[str, ...] = ()  # a confirmatory test: the ions that it confirms; empty: any
    kinds: tuple[str, ...] = ()  # kinds of ions that must have a fact here, or say that they show nothing


@dataclass(frozen=True)
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
    facets: dict[str, Facet] = field(hash=False)
    reagents: tuple[dict, ...] = field(hash=False)
    apparatus: tuple[str, ...]
    cautions: tuple[str, ...]
    applies: dict = field(hash=False)
    sources: tuple[Citation, ...]
    choose: str = "all"  # all facets are looked at, or one of them does (confirmatory tests)


@dataclass(frozen=True)
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
    made_from: dict = field(hash=False)
    procedure: str
    hazards: Hazards
    shelf_life: str
    cautions: tuple[str, ...]
    sources: tuple[Citation, ...]


@dataclass(frozen=True)
class Stage:
    """One entry of a scheme: a test, and what is done to the tube before it."""

    test: str
    group: str = ""
    becomes: dict[str, str] = field(default_factory=dict, hash=False)
    by: str = ""


@dataclass(frozen=True)
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
    groups: dict[str, dict] = field(hash=False)
    stops_at_first_group: bool = True
    sources: tuple[Citation, ...] = ()


@dataclass(frozen=True)
class Colour:
    """A colour word, what it is a shade of, other words for it, and a swatch."""

    word: str
    under: tuple[str, ...]
    like: tuple[str, ...]
    swatch: str


@dataclass(frozen=True)
class Refusal:
    """A pair of ions that does not exist or does not keep, and why."""

    cation: str
    anion: str
    reason: str
    sources: tuple[Citation, ...]


@dataclass(frozen=True)
class Knowledge:
    """The whole knowledge base of one edition (`edition` is its digest)."""

    edition: str
    sources: dict[str, Source] = field(hash=False)
    colours: dict[str, Colour] = field(hash=False)
    ions: dict[str, Ion] = field(hash=False)
    salts: dict[str, Salt] = field(hash=False)
    tests: dict[str, Test] = field(hash=False)
    reagents: dict[str, Reagent] = field(hash=False)
    schemes: dict[str, Scheme] = field(hash=False)
    mark_schemes: dict[str, dict] = field(hash=False)
    refusals: tuple[Refusal, ...] = field(hash=False)
    statements: dict[str, str] = field(hash=False)
    pictograms: dict[str, dict] = field(hash=False)
    labels: dict[str, dict] = field(hash=False)
    waste: dict[str, object] = field(
        hash=False
    )  # what is collected apart, and what stays in the fume cupboard
    words: dict[str, object] = field(hash=False)  # the other files of words/, by file name
