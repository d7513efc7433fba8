"""The words of a reading sorted by what they are: things, colours, gases, places, and what is denied."""

from dataclasses import dataclass, field
from typing import NamedTuple

from grading.reading.heard import AFFIRMED, LOST


class Named(NamedTuple):
    """A colour that is named, the part of the sentence that it stands in, and how."""

    word: str
    part: int
    before: bool
    turned: bool


@dataclass
class Bag:
    """What is named in a text, without grammar; parts are numbers of parts of the sentence."""

    colours: list = field(default_factory=list)
    events: dict = field(default_factory=dict)  # event -> parts
    denied: set = field(default_factory=set)  # events and colours that are denied
    gases: set = field(default_factory=set)
    reagent_gases: set = field(default_factory=set)  # gases that may as well be reagents
    implied: set = field(default_factory=set)  # colours that a word tells by itself ("milky")
    deeds: set = field(default_factory=set)
    smells: set = field(default_factory=set)
    papers: set = field(default_factory=set)
    steps: set = field(default_factory=set)
    reagents: list = field(default_factory=list)
    of_papers: set = field(default_factory=set)  # parts that speak of a paper
    of_liquids: set = field(default_factory=set)
    with_step: set = field(default_factory=set)
    sighted: set = field(default_factory=set)  # parts that speak of a colouring
    kept: set = field(default_factory=set)  # parts in which something stays as it was
    lost: set = field(default_factory=set)  # parts in which something loses its colour
    headings: set = field(default_factory=set)  # parts before a colon
    denials: set = field(default_factory=set)  # parts that deny something
    nothing: set = field(default_factory=set)  # parts that say that nothing is seen
    denying: bool = False
    affirmed: bool = False
    odourless: bool = False
    solid: bool = False

    def put(self, word):
        """Sort in one word."""
        self.denying = self.denying or word.denied
        if word.denied:
            self.denials.add(word.part)
        if word.heading:
            self.headings.add(word.part)
        self.reagents += [entry.means for entry in word.entries if entry.kind == "reagent"]
        step = word.of("step")
        if step:
            self.steps.add(step.means)
            self.with_step.add(word.part)
        sort = getattr(self, f"_{word.entry.kind}", None)
        if sort:
            sort(word, word.entry)
        self._beside(word)

    def _beside(self, word):
        """What a word means besides: the paper, the deed and its colour."""
        paper, deed = word.of("paper"), word.of("deed")
        if paper and not word.denied:
            self.papers.add(paper.means)
            self.of_papers.add(word.part)
        if deed and not word.denied:
            self.deeds.add(deed.means)
            self.implied |= {deed.told("colours")} - {None}

    def _colour(self, word, entry):
        if word.denied:
            self.denied.add(entry.means)
        else:
            self.colours.append(Named(entry.means, word.part, word.before, word.turned))

    def _gas(self, word, entry):
        if not word.denied:
            either = word.of("reagent") or word.of("step")
            (self.reagent_gases if either else self.gases).add(entry.means)

    def _smell(self, word, entry):
        if word.denied or entry.means == "none":
            self.denying = self.odourless = True
            return
        self.smells.add(entry.means)
        if entry.told("gas"):
            self.gases.add(entry.told("gas"))

    def _texture(self, word, entry):
        solid = entry.place == "solid" or entry.told("event") == "precipitate"
        self.solid = self.solid or (solid and not word.denied)
        if entry.place == "above" and not word.denied:
            self.events.setdefault(entry.told("event"), set()).add(word.part)

    def _deed(self, word, entry):
        told = entry.told("colours")
        self.solid = self.solid or bool(told and not word.denied)

    def _join(self, word, entry):
        self.affirmed = self.affirmed or entry.means == AFFIRMED
        if entry.means != AFFIRMED:
            (self.lost if entry.means == LOST else self.kept).add(word.part)

    def _negation(self, word, _entry):
        self.denying = True
        self.denials.add(word.part)

    def _event(self, word, entry):
        if entry.weak:
            if not entry.place:
                self.of_liquids.add(word.part)
            if entry.place == "sight":
                self.sighted.add(word.part)
            self.solid = self.solid or (entry.place == "solid" and not word.denied)
            return
        if entry.means == "none":
            self.nothing.add(word.part)
            self._place(word, entry)
            return
        if word.denied != entry.negated:
            self.denied.add(entry.means)
            return
        self.events.setdefault(entry.means, set()).add(word.part)
        self._place(word, entry)
        if entry.told("colours"):
            self.colours.append(Named(entry.told("colours"), word.part, False, False))

    def _place(self, word, entry):
        """The step that an event tells besides ("persists in excess")."""
        if entry.told("step"):
            self.steps.add(entry.told("step"))
            self.with_step.add(word.part)


def bag_of(words):
    """The bag of the words heard in a text."""
    bag = Bag()
    for word in words:
        bag.put(word)
    return bag
