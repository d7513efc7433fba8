"""Findings while they are put together: attributes that wait, and things that lack them."""

from dataclasses import dataclass, field

from grading.reading.findings import EFFECT, UNSTATED, Finding

GASEOUS = ("gas", "effervescence", "smell")
LIQUIDS = ("dissolves", "melts", UNSTATED)  # what the colour of a liquid may be said of
PILED = ("precipitate", "residue", "sublimate")  # what the colour of a solid may be said of
COLOURLESS = ("smell", "crackling")  # what has no colour: it belongs to something else
WARM = "warm"  # of a bead: hot
DETAILS = ("texture", "gas", "smell", "smells_of", "product", "degree")


@dataclass
class Waiting:
    """Attributes read before (or after) the thing that they describe."""

    colours: list = field(default_factory=list)
    before: list = field(default_factory=list)  # colours that it had before it turned
    texture: str | None = None
    gas: str | None = None
    smell: str | None = None
    smells_of: str | None = None
    product: str | None = None
    degree: str | None = None
    event: str | None = None  # what an attribute alone would mean ("milky": a precipitate)
    turning: bool = False
    liquid: bool = False  # said of a solution, a layer, a salt: not of a precipitate
    solid: bool = False  # said of a solid: in a solution a precipitate
    kept: bool = False  # from the part before a comma
    unchanged: bool = False  # "stays white"
    told: bool = False  # a whole statement: "green colour"
    start: int | None = None
    end: int = 0

    @property
    def empty(self):
        """Whether nothing waits."""
        return not (self.colours or self.before or any(getattr(self, name) for name in DETAILS))

    def reach(self, chunk):
        """Stretch over a chunk."""
        self.start = chunk.start if self.start is None else self.start
        self.end = chunk.end


@dataclass
class Draft:
    """A finding in the making."""

    event: str
    segment: int
    clause: int
    start: int
    end: int
    colours: list = field(default_factory=list)
    texture: str | None = None
    gas: str | None = None
    smell: str | None = None
    smells_of: str | None = None
    product: str | None = None
    degree: str | None = None
    effect: str | None = None
    shows: str | None = None  # the event that counts as what happens in this solution
    unchanged: bool = False
    facet: str = ""
    flame: str = ""
    flame_sure: bool = False
    warmth: str = ""
    step: str = ""
    step_sure: bool = False
    reagents: tuple = ()
    negated: bool = False
    implied: bool = False
    liquid: bool = False
    solid: bool = False
    before: bool = False

    @property
    def bare(self):
        """Whether nothing is said of it but its name."""
        return not (self.colours or self.negated or any(getattr(self, name) for name in DETAILS))

    def takes(self, waiting):
        """Whether what waits may describe this thing, written before it."""
        if self.negated or self.event == "none":
            return False
        if waiting.colours and self.event in COLOURLESS:
            return False
        liquid = waiting.liquid and not (waiting.solid and self.event in PILED)
        if waiting.colours and (self.colours or (liquid and self.event not in LIQUIDS)):
            return False
        if (waiting.gas or waiting.smell) and self.event not in (*GASEOUS, EFFECT):
            return False
        if (waiting.gas and self.gas) or (waiting.smell and self.smell):
            return False
        return waiting.event in (None, self.event) or self.event == EFFECT

    def absorb(self, waiting):
        """Take over what waits."""
        self.colours += waiting.colours
        self.unchanged = self.unchanged or waiting.unchanged
        self.liquid = self.liquid or (waiting.liquid and self.event == "melts")
        for name in DETAILS:
            setattr(self, name, getattr(self, name) or getattr(waiting, name))
        if waiting.start is not None:
            self.start, self.end = min(self.start, waiting.start), max(self.end, waiting.end)

    def finding(self):
        """The finished finding."""
        warmth = self.warmth or ("hot" if self.flame and self.step == WARM else "")
        step = f"{self.flame} {warmth}".strip() or self.step
        return Finding(
            event=self.event,
            step=step,
            colours=tuple(dict.fromkeys(self.colours)),
            texture=self.texture,
            gas=self.gas,
            smell=self.smell,
            smells_of=self.smells_of,
            product=self.product,
            effect=self.effect,
            facet=self.facet,
            reagents=self.reagents,
            degree=self.degree,
            negated=self.negated,
            implied=self.implied,
            liquid=self.liquid,
            solid=self.solid,
            before=self.before,
            unchanged=self.unchanged,
            span=(self.start, self.end),
        )
