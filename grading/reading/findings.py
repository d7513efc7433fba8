"""What a text was read as: findings, and the spans that were read, passed over or not understood."""

from dataclasses import dataclass

from grading.reading.heard import Heard
from grading.reading.words_read import WordsRead

EFFECT = "effect"  # what a gas does to a test paper or a test solution
UNSTATED = "colour"  # a colour alone: the test says of what
MOMENTS = ("drops", "reagent", "hot", "cold", "warm", "heat", "boil", "cooling")  # when, not in what


@dataclass(frozen=True)
class Finding:
    """One thing that the candidate says was seen (or, negated, was not seen) at one step."""

    event: str
    step: str = ""
    colours: tuple[str, ...] = ()
    texture: str | None = None
    gas: str | None = None
    smell: str | None = None
    smells_of: str | None = None  # the gas that this smell tells
    product: str | None = None
    effect: str | None = None
    facet: str = ""  # where the words tell which part of the test is meant ("metal", "incrustation")
    reagents: tuple[str, ...] = ()
    degree: str | None = None
    negated: bool = False
    implied: bool = False  # the event was not named: "white", "turns brown"
    liquid: bool = False  # said of a solution, a layer or a salt
    solid: bool = False  # ... of a solid or powder
    before: bool = False  # the colour that it had before it changed
    unchanged: bool = False  # "stays white": the colour that it had all along
    span: tuple[int, int] = (0, 0)

    @property
    def nothing(self):
        """Whether it says that nothing was seen."""
        return self.event == "none" or (self.negated and self.event != "dissolves" and self.effect is None)

    def in_words(self):
        """The finding in plain words, for the examiner."""
        if self.event == "dissolves" and not (self.effect or self.product or self.texture):
            return dissolving(self.colours, self.step or " ".join(self.reagents), negated=self.negated)
        denied = self.negated and self.event not in ("none", "dissolves")
        smell = "odourless" if self.smell == "none" else self.smell
        words = [
            "no" if denied else "",
            " or ".join(self.colours),
            self.texture,
            smell,
            self.degree,
            self.gas,
            self._event_word(),
            f"on {self.effect}" if self.effect else "",
            self.product,
        ]
        said = " ".join(word for word in words if word)
        told = self.step or " ".join(self.reagents)
        return f"{said} ({told})" if told else said

    def _event_word(self):
        if self.event == "none":
            return "no change"
        if self.event == "dissolves" and self.negated:
            return "does not dissolve"
        return "" if self.implied or self.event == EFFECT else self.event


def dissolving(colours, where, *, negated=False):
    """Dissolving in plain words: in what or when, and to which colour.

    >>> dissolving(["blue"], "excess"), dissolving([], "excess", negated=True), dissolving([], "hot")
    ('dissolves in excess, blue solution', 'insoluble in excess', 'dissolves (hot)')
    """
    verb = "dissolves" if not negated else "insoluble" if where else "does not dissolve"
    place = (f" ({where})" if where in MOMENTS else f" in {where}") if where else ""
    return f"{verb}{place}" + (f", {' or '.join(colours)} solution" if colours else "")


@dataclass(frozen=True)
class Reading(WordsRead):
    """An observation as read: findings in order."""

    findings: tuple[Finding, ...] = ()
    heard: tuple[Heard, ...] = ()  # its words without grammar
    either: str = ""  # words that tell a thing and its denial for the reader to choose from

    @property
    def sure(self):
        """Whether every word was understood, and something of what was written says what was seen."""
        return super().sure and (self.blank or bool(self.findings))

    def why_unsure(self):
        """Reasons for a person to look, each a phrase."""
        reasons = super().why_unsure()
        if not self.blank and not self.findings and not reasons:
            reasons.append("nothing that was written says what was seen")
        return reasons

    def in_words(self):
        """What was understood, in plain words."""
        return "; ".join(finding.in_words() for finding in self.findings)
