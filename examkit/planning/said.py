"""Sentences of the pure parts: English text and its values, so that a page can translate them later."""

from dataclasses import dataclass, field

from examkit.errors import Refused


@dataclass(frozen=True)
class Said:
    """A sentence with named values; `str()` gives the English, a page translates `text` first."""

    text: str
    values: dict = field(default_factory=dict, hash=False)

    def __str__(self):
        return self.text % self.values


def said(text, **values):
    """A sentence; import it as `_`, so that the text is collected for translation."""
    return Said(text, values)


class AllRefused(Refused):
    """Everything that stands in the way, told at once."""

    def __init__(self, problems):
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
