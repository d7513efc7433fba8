"""The headings of a class list: which column holds what, in the spellings that schools use."""

import unicodedata
from dataclasses import dataclass

from examkit.planning.said import said as _

SPELLINGS = {
    "number": (
        "number",
        "candidate number",
        "candidate no",
        "cand no",
        "candidate id",
        "candidate",
        "no",
        "nr",
        "id",
        "roll no",
        "roll number",
        "roll",
        "register number",
        "register no",
        "reg no",
        "index number",
        "index no",
        "exam number",
        "exam no",
        "student number",
        "student no",
        "student id",
        "pupil number",
        "pupil no",
        "admission number",
        "admission no",
        "seat number",
        "#",
    ),
    "name": (
        "name",
        "full name",
        "candidate name",
        "student name",
        "pupil name",
        "name of candidate",
        "name of student",
        "names",
        "student",
        "pupil",
    ),
    "first": ("first name", "forename", "forenames", "given name", "given names", "firstname"),
    "last": ("last name", "surname", "family name", "lastname"),
    "group": (
        "class",
        "group",
        "form",
        "set",
        "section",
        "teaching group",
        "tutor group",
        "grade",
        "year",
        "batch",
    ),
    "sitting": ("sitting", "session", "slot", "time", "shift"),
    "bench": ("bench", "seat", "place", "bench label"),
    "colour_help": (
        "help with colours",
        "help with colors",
        "needs help with colours",
        "needs help with colors",
        "colour vision",
        "color vision",
        "colour help",
        "color help",
        "colour blind",
        "color blind",
        "colour blindness",
        "color blindness",
        "needs colour help",
        "needs color help",
        "colour",
        "color",
    ),
    "extra_time": (
        "extra time",
        "additional time",
        "extra time percent",
        "extra time in percent",
        "time and a quarter",
        "extra",
    ),
    "rest_breaks": ("rest breaks", "breaks", "supervised rest breaks"),
    "separate_room": ("separate room", "own room", "room of their own", "separate"),
    "left_handed": ("left handed", "left handed bench", "lefthanded", "left hand", "handedness"),
    "needs": (
        "needs",
        "need",
        "special needs",
        "needs in the exam",
        "requirements",
        "special requirements",
        "arrangements",
        "access arrangements",
        "special arrangements",
        "exam arrangements",
        "adjustments",
        "reasonable adjustments",
        "accommodations",
        "support",
    ),
}
READ_AS = {
    "number": _("candidate number"), "name": _("name"), "first": _("first name"), "last": _("last name"),
    "group": _("class"), "sitting": _("sitting"), "bench": _("bench"), "colour_help": _("help with colours"),
    "extra_time": _("extra time (%%)"), "rest_breaks": _("rest breaks"), "separate_room": _("separate room"),
    "left_handed": _("left-handed bench"), "needs": _("needs in free words"),
}
USUAL = {  # the heading that an empty list has for each column
    "number": "Number", "name": "Name", "group": "Class", "sitting": "Sitting", "bench": "Bench",
    "colour_help": "Help with colours", "extra_time": "Extra time (%)", "rest_breaks": "Rest breaks",
    "separate_room": "Separate room", "left_handed": "Left-handed", "needs": "Needs",
}
MISREAD = ("colour vision", "color vision")  # headings below which "yes" may be meant either way
KNOWN = {spelling: key for key, spellings in SPELLINGS.items() for spelling in spellings}


@dataclass(frozen=True)
class Headings:
    """The columns of a list: the heading as written with what it is read as, and what is wrong with them."""

    columns: tuple[tuple[str, str], ...]
    problems: tuple[tuple[str, object], ...]

    def title(self, index):
        """The heading of a column by its index."""
        return self.columns[index][0] if index < len(self.columns) else str(index + 1)

    def pick(self, cells):
        """The cells of a row by what they are: key -> (heading, text); a name in two columns is put
        together."""
        picked = {}
        for (title, key), cell in zip(self.columns, cells, strict=False):
            if key:
                picked[key] = (title, cell)
        if "name" not in picked:
            parts = [picked[key] for key in ("first", "last") if key in picked]
            picked["name"] = (" + ".join(title for title, _cell in parts),
                              " ".join(cell.strip() for _title, cell in parts if cell.strip()))
        return picked


def read_headings(cells):
    """What each column is, with a problem for each one that is missing or comes twice."""
    while cells and not cells[-1].strip():
        cells = cells[:-1]
    keys = [KNOWN.get(plain(cell), "") for cell in cells]
    columns = tuple((cell.strip(), key) for cell, key in zip(cells, keys, strict=True))
    return Headings(columns, tuple(_problems(columns, keys)))


def plain(heading):
    """A heading without case, accents, punctuation and units: "Roll No." is "roll no"."""
    decomposed = unicodedata.normalize("NFKD", heading.casefold())
    letters = "".join(" " if letter in "._-/:()%" else letter for letter in decomposed
                      if not unicodedata.combining(letter))
    return " ".join(letters.split())


def _problems(columns, keys):
    found = ", ".join(f"'{title}'" for title, _key in columns)
    if not any(keys):
        yield "", _("no column is called Number or Name; the first line has %(found)s. Put a line above the "
                    "candidates that names the columns: Number, Name, Class.", found=found)
        return
    if "number" not in keys:
        yield "", _("no column for the candidate number; the first line has %(found)s. Name one of them "
                    "'Number'.",
                    found=found)
    if "name" not in keys and "last" not in keys:
        yield (
            "",
            _("no column for the name; the first line has %(found)s. Name one of them 'Name'.", found=found),
        )
    for key in dict.fromkeys(keys):
        titles = [title for title, other in columns if other == key]
        if key and len(titles) > 1:
            yield titles[1], _("%(titles)s would both be read as %(what)s. Rename or delete one of them.",
                               titles=" and ".join(f"'{title}'" for title in titles), what=READ_AS[key])
