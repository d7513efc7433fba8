"""A class list read from CSV or XLSX: rows for the exam, or everything that is wrong with the file at once.

Columns are known by their heading in the usual spellings. Text is kept exactly: leading zeros, accents,
any script.
"""

import unicodedata
from dataclasses import dataclass

from examkit.planning import oneroster, sheets
from examkit.planning.headings import read_headings
from examkit.planning.said import AllRefused
from examkit.planning.said import said as _
from examkit.planning.tables import MOST_ROWS

LONGEST = {"number": 40, "name": 300, "group": 60, "sitting": 60, "bench": 10}
YES = {"yes", "y", "true", "1", "x", "✓", "✔", "j", "ja", "oui", "si", "sí", "sim", "needed", "left"}
NO = {"", "no", "n", "false", "0", "-", "–", "nein", "non", "não", "none", "right"}
MOST_EXTRA_TIME = 200  # per cent


@dataclass(frozen=True)
class Entry:
    """One candidate of a class list."""

    number: str
    name: str
    group: str = ""
    sitting: str = ""
    bench: str = ""
    colour_help: bool = False
    extra_time: int = 0  # per cent
    rest_breaks: bool = False
    separate_room: bool = False
    left_handed: bool = False


@dataclass(frozen=True)
class Problem:
    """What is wrong in one cell or line, and the way out."""

    line: int
    column: str
    what: object  # Said
    file: str = ""  # of a set of files

    def __str__(self):
        parts = (self.file, self.line and f"line {self.line}", self.column and f"column {self.column}")
        place = ", ".join(part for part in parts if part)
        return f"{place}: {self.what}" if place else str(self.what)


@dataclass(frozen=True)
class Reading:
    """A class list as it was understood: its rows, what each column was taken for, remarks, and all
    problems."""

    entries: tuple[Entry, ...]
    columns: tuple[tuple[str, str], ...] = ()  # heading, what it was read as ("" for nothing)
    remarks: tuple[Problem, ...] = ()
    problems: tuple[Problem, ...] = ()


def read_roster(data, filename="", classes=""):
    """The class list in a file's bytes, told apart by its content; nothing raises, problems are told in
    the reading.

    `classes` names the classes wanted of a OneRoster set (titles or codes, with commas between them).
    """
    try:
        is_set = oneroster.looks_like(data)
        table = oneroster.read(data, classes) if is_set else sheets.read(data, filename)
    except AllRefused as refusal:
        return Reading((), problems=tuple(Problem(*found) for found in refusal.problems))
    return _read_table(table)


def _read_table(table):
    rows = [(line, cells) for line, cells in table.rows if any(cell.strip() for cell in cells)]
    if not rows:
        return Reading((), problems=(Problem(0, "", _("The file is empty. Save the class list again and "
                                                      "retry.")),))
    (line, cells), *rest = rows
    headings = read_headings(cells)
    problems = [Problem(line, column, what) for column, what in headings.problems]
    if len(rest) > MOST_ROWS:
        problems.append(Problem(0, "", too_long(len(rest))))
    if problems:
        return Reading((), headings.columns, problems=tuple(problems))
    return _read_rows(headings, rest, table)


def too_long(rows):
    """The refusal of a list with too many rows."""
    return _("The list has %(rows)d rows: more than 10,000 rows. Split it into one file per exam, or delete "
             "the empty rows below the list.", rows=rows)


def _read_rows(headings, rows, table):
    entries, problems = [], []
    for line, cells in rows:
        wrong_length = _length_problem(line, cells, headings)
        row = _Row(line, headings.pick(cells))
        entries.append(row.entry())
        problems += [wrong_length] if wrong_length else row.problems
    titles = [title for title, key in headings.columns if key == "number"]
    problems += _twice(entries, [line for line, _cells in rows], titles[0])
    if not rows:
        problems.append(Problem(0, "", _("There are headings, but no candidates below them. Put each "
                                         "candidate in a row below the headings.")))
    remarks = [Problem(line, headings.title(column), _("this cell holds a formula; its text was kept as it "
                                                       "stands."))
               for line, column in table.formulas]
    kept = () if problems else tuple(entries)
    return Reading(kept, headings.columns, tuple(remarks), tuple(sorted(problems, key=lambda p: p.line)))


def _length_problem(line, cells, headings):
    wanted, filled = len(headings.columns), len(cells)
    while filled > wanted and not cells[filled - 1].strip():
        filled -= 1
    if filled > wanted:
        return Problem(line, "", _("%(found)d cells, but %(wanted)d headings. A cell that holds the "
                                   "separator must stand in double quotes.", found=filled, wanted=wanted))
    if filled < wanted:
        return Problem(line, "", _("%(found)d cells, but %(wanted)d headings. Fill in the missing "
                                   "separators; empty cells are fine.", found=filled, wanted=wanted))
    return None


class _Row:
    """One line while it is read: every cell is looked at, every problem kept."""

    def __init__(self, line, cells):
        self.line, self.cells, self.problems = line, cells, []

    def entry(self):
        """The candidate of this line."""
        return Entry(
            number=self._text("number", required=True), name=self._text("name", required=True),
            group=self._text("group"), sitting=self._text("sitting"), bench=self._text("bench"),
            colour_help=self._yes_or_no("colour_help"), extra_time=self._per_cent("extra_time"),
            rest_breaks=self._yes_or_no("rest_breaks"), separate_room=self._yes_or_no("separate_room"),
            left_handed=self._yes_or_no("left_handed"),
        )

    def _wrong(self, key, what):
        self.problems.append(Problem(self.line, self.cells[key][0] if key in self.cells else key, what))

    def _cell(self, key):
        return self.cells[key][1].strip(" \t\r\n\u00a0") if key in self.cells else ""

    def _text(self, key, required=False):
        text = self._cell(key)
        if required and not text:
            self._wrong(key, _("this cell is empty, but every candidate needs one. Fill it in."))
        if len(text) > LONGEST[key]:
            self._wrong(key, _("%(length)d characters, at most %(most)d are kept. Shorten it.",
                               length=len(text), most=LONGEST[key]))
        control = [letter for letter in text if unicodedata.category(letter) in ("Cc", "Cs")]
        if control:
            self._wrong(key, _("holds a line break. Write it in one line.") if control[0] in "\r\n" else _(
                "holds the control character U+%(code)s. Type the cell again.",
                code=f"{ord(control[0]):04X}"))
        return text

    def _yes_or_no(self, key):
        word = self._cell(key).casefold()
        if word not in YES | NO:
            self._wrong(
                key,
                _("'%(word)s' is neither yes nor no. Write yes, or leave it empty.", word=self._cell(key)),
            )
        return word in YES

    def _per_cent(self, key):
        word = self._cell(key).removesuffix("%").strip()
        if word.casefold() in NO:
            return 0
        if not (word.isascii() and word.isdigit() and int(word) <= MOST_EXTRA_TIME):
            self._wrong(key, _("'%(word)s' is not a whole percentage from 0 to %(most)d. Write 25 for a "
                               "quarter more time.",
                               word=self._cell(key), most=MOST_EXTRA_TIME))
            return 0
        return int(word)


def _twice(entries, lines, title):
    """A problem for each candidate number that stands in two lines."""
    first = {}
    for entry, line in zip(entries, lines, strict=True):
        if entry.number and entry.number in first:
            yield Problem(
                line,
                title,
                _(
                    "candidate number %(number)s stands in line %(first)d already. Each "
                    "candidate needs a number of their own: correct one of the two, or delete the line "
                    "that is too much.",
                    number=entry.number,
                    first=first[entry.number],
                ),
            )
        first.setdefault(entry.number, line)
