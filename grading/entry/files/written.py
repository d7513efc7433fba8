"""What a file says, whatever its kind: words with their places, and what is wrong with them."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from grading.marking.parts import RESULT

MOST_ROWS = 5000
CODE, TEST, OBSERVATION, INFERENCE = "code", "test", "observation", "inference"
CATION, ANION = "cation", "anion"


@dataclass(frozen=True)
class Cell:
    """Words at a place: line and column of the file, both as people count them."""

    text: str
    line: int
    column: str = ""


@dataclass(frozen=True)
class Problem:
    """What is wrong at a place of the file, and the way out; a remark is put the same way."""

    line: int
    column: str
    what: str

    @classmethod
    def at(cls, cell, what):
        """A problem with a cell."""
        return cls(cell.line, cell.column, what)

    def __str__(self):
        place = f"line {self.line}" + (f", column {self.column}" if self.column else "")
        return f"{place}: {self.what}" if self.line else self.what


def too_many_rows():
    """The problem of a file with more than MOST_ROWS rows."""
    return Problem(0, "", _("More than %(most)d rows: split the file.") % {"most": MOST_ROWS})


def empty():
    """The problem of a file in which nothing stands."""
    return Problem(0, "", _("The file is empty."))


@dataclass(frozen=True)
class Entry:
    """One line of one record; of the result (test `result`) the cation and the anion."""

    code: Cell
    test: Cell
    observation: Cell
    inference: Cell

    @property
    def blank(self):
        """Whether nothing is written: such a line changes nothing."""
        return not (self.observation.text.strip() or self.inference.text.strip())

    @property
    def result(self):
        """Whether it is the result of the record."""
        return self.test.text == RESULT


@dataclass(frozen=True)
class Reading:
    """A file as it was understood: its entries, remarks, and everything that is wrong with it."""

    entries: tuple[Entry, ...] = ()
    remarks: tuple[Problem, ...] = ()
    problems: tuple[Problem, ...] = ()

    @classmethod
    def of(cls, entries, problems, remarks=()):
        """What was read, without its blank lines; more than a file may have are a problem."""
        filled = tuple(entry for entry in entries if not entry.blank)
        more = [too_many_rows()] if len(filled) > MOST_ROWS else []
        return cls(filled, tuple(remarks), (*problems, *more))

    @classmethod
    def refused(cls, *problems):
        """A file of which nothing was read."""
        return cls(problems=problems)
