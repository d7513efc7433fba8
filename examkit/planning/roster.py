"""A class list read from CSV or XLSX: rows for the exam, or everything that is wrong with the file at once.

Columns are known by their heading in the usual spellings. Text is kept exactly: leading zeros, accents,
any script.
"""

import unicodedata
from dataclasses import dataclass

from examkit.planning import oneroster, sheets
from examkit.planning.headings import MISREAD, plain, read_headings
from examkit.planning.needs import NORMAL_SIGHT, read_needs, says
from examkit.planning.said import AllRefused
from examkit.planning.said import said as _
from examkit.planning.tables import MOST_ROWS

LONGEST = {"number": 40, "name": 300, "group": 60, "sitting": 60, "bench": 10}
YES = {"yes", "y", "true", "1", "x", "✓", "✔", "j", "ja", "oui", "si", "sí", "sim", "needed", "left"}
NO = {"", "no", "n", "false", "0", "-", "–", "nein", "non", "não", "none", "right"}
MOST_EXTRA_TIME = 200  # per cent
EXAMPLE = "EXAMPLE"  # the number of the row that shows how an empty list is filled in


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
    problems.

    `unread` are words of a needs column that were not understood; `ignored` are columns that are not read,
    each with the number of its cells that hold something.
    """

    entries: tuple[Entry, ...]
    columns: tuple[tuple[str, str], ...] = ()  # heading, what it was read as ("" for nothing)
    remarks: tuple[Problem, ...] = ()
    problems: tuple[Problem, ...] = ()
    unread: tuple[Problem, ...] = ()
    ignored: tuple[tuple[str, int], ...] = ()


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
    wanted = [row for row in rows if not _is_example(headings.pick(row[1]))]
    read, problems = [], []
    for line, cells in wanted:
        wrong_length = _length_problem(line, cells, headings)
        row = _Row(line, headings.pick(cells))
        read.append((row, row.entry()))
        problems += [wrong_length] if wrong_length else row.problems
    entries = [entry for _row, entry in read]
    titles = [title for title, key in headings.columns if key == "number"]
    problems += _twice(entries, [line for line, _cells in wanted], titles[0])
    if not wanted:
        problems.append(Problem(0, "", _("There are headings, but no candidates below them. Put each "
                                         "candidate in a row below the headings.")))
    kept = () if problems else tuple(entries)
    return Reading(
        kept, headings.columns, tuple(_remarks(headings, rows, table, entries)),
        tuple(sorted(problems, key=lambda p: p.line)),
        tuple(problem for row, _entry in read for problem in row.unread), tuple(_ignored(headings, wanted)))


def _is_example(cells):
    return "number" in cells and cells["number"][1].strip() == EXAMPLE


def _remarks(headings, rows, table, entries):
    """What should be looked at, though nothing is wrong with it."""
    for line, column in table.formulas:
        yield Problem(line, headings.title(column), _("this cell holds a formula; its text was kept as it "
                                                      "stands."))
    for line, cells in rows:
        if _is_example(headings.pick(cells)):
            yield Problem(line, "", _("this row is the example of the empty list, and was passed over."))
    title = next((title for title, key in headings.columns if key == "colour_help"), "")
    if plain(title) in MISREAD and any(entry.colour_help for entry in entries):
        yield Problem(0, title, _("this was read as: needs help with colours (candidates: %(number)d). Call "
                                  "the column 'Help with colours', and nobody misreads it.",
                                  number=sum(entry.colour_help for entry in entries)))


def _ignored(headings, rows):
    """The columns that are not read and hold something, with how many cells do."""
    for place, (title, key) in enumerate(headings.columns):
        filled = sum(bool(cells[place].strip()) for _line, cells in rows if place < len(cells))
        if not key and filled:
            yield title, filled


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
        self.line, self.cells, self.problems, self.unread = line, cells, [], []

    def entry(self):
        """The candidate of this line."""
        needs = self._needs()
        return Entry(
            number=self._text("number", required=True), name=self._text("name", required=True),
            group=self._text("group"), sitting=self._text("sitting"), bench=self._text("bench"),
            extra_time=self._extra_time(needs.get("extra_time", 0)),
            **{key: self._yes_or_no(key) or needs.get(key, False)
               for key in ("colour_help", "rest_breaks", "separate_room", "left_handed")},
        )

    def _needs(self):
        found, unread = read_needs(self._cell("needs"))
        if unread:
            number = self._cell("number")
            self.unread += [Problem(self.line, self.cells["needs"][0], _(
                "'%(words)s' of candidate %(number)s was not understood.", words=words, number=number))
                for words in unread]
        return found

    def _extra_time(self, from_needs):
        own = self._per_cent("extra_time")
        if own and from_needs and own != from_needs:
            self._wrong("extra_time", _("%(own)d %% here, but %(other)d %% in the column of needs. Write one "
                                        "of the two.", own=own, other=from_needs))
        return own or from_needs

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
        if word in YES or word and says(key, word):
            return True
        if word not in NO and not (key == "colour_help" and word in NORMAL_SIGHT):
            self._wrong(key, _neither(key, self._cell(key)))
        return False

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


def _neither(key, word):
    if key == "colour_help":
        return _("'%(word)s' is neither yes nor no. Write yes for who needs help with colours, or leave it "
                 "empty.", word=word)
    return _("'%(word)s' is neither yes nor no. Write yes, or leave it empty.", word=word)


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
