"""The records that the knowledge base becomes when it is loaded. All are frozen.

What has a place in the base (`eq=False`) is known by identity, so that it can be a key of a cache at no cost.
"""

from dataclasses import dataclass, field

from examkit.chemistry.knowledge.citations import Citation, Source
from examkit.chemistry.knowledge.equilibrium import Constants
from examkit.chemistry.knowledge.work import Scheme, Test

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
    told_as: tuple[str, ...] = ()  # words by which an outcome names it, where it only touches a gas
    medium: bool = False  # beside another reagent it sets the acidity or the solvent, and decides nothing
    check: str = ""  # how its bottle is checked where no salt shows what it does


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
