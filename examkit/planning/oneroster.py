"""The open OneRoster 1.2 set of CSV files in a ZIP, as the table of a class list.

Read are users.csv, classes.csv and enrollments.csv, whose role says who is a pupil of a class. Rows that are
to be deleted, and users that are not enabled, are left out. The number of a candidate is the user's
`identifier`, where all have one; else their `username`; else their `sourcedId`.
"""

from dataclasses import dataclass

from examkit.planning import sheets, zipped
from examkit.planning.said import AllRefused
from examkit.planning.said import said as _
from examkit.planning.tables import Table
from examkit.planning.zipped import refused

NEEDED = {
    "users.csv": ("sourcedId", "enabledUser", "givenName", "familyName"),
    "classes.csv": ("sourcedId", "title"),
    "enrollments.csv": ("classSourcedId", "userSourcedId", "role"),
}
FILES = (*NEEDED, "manifest.csv")
LARGEST_MB = 60  # of the files that are read, unpacked
GONE = "tobedeleted"
LISTED = 20  # classes named in a refusal


@dataclass(frozen=True)
class Row:
    """One row of a file of the set: its line and its cells by heading."""

    line: int
    cells: dict

    def __getitem__(self, name):
        return self.cells.get(name, "").strip()


def looks_like(data):
    """Whether a file is a ZIP that holds the users of a OneRoster set."""
    return any(_plain(part.filename) in ("users.csv", "manifest.csv") for part in zipped.parts(data))


def read(data, classes=""):
    """The pupils of the classes named as a table; AllRefused tells (line, column, what, file)."""
    files = _unpacked(data)
    problems = list(_problems(files))
    if problems:
        raise AllRefused(problems)
    wanted = _wanted(files, classes)
    rows = _pupils(files, wanted)
    return Table(((1, ["number", "first name", "last name", "class"]), *rows))


def _plain(name):
    return name.rsplit("/", 1)[-1].casefold()


def _unpacked(data):
    """The rows of each file that is read, by its name."""
    parts = {_plain(part.filename): part for part in zipped.parts(data)
             if _plain(part.filename) in FILES and not part.is_dir()}
    zipped.check(parts.values(), LARGEST_MB)
    return {name: _rows(name, zipped.content(data, part, _damaged(part))) for name, part in parts.items()}


def _damaged(part):
    what = _("%(file)s is damaged inside the ZIP. Export the set again.", file=part.filename)
    return refused(what, file=_plain(part.filename))


def _rows(name, data):
    """The rows of one file; what is wrong with it is told with its name."""
    try:
        lines = list(sheets.csv_rows(data, limit_MB=LARGEST_MB, most_lines=None))
    except AllRefused as refusal:
        raise AllRefused([(*problem, name) for problem in refusal.problems]) from None
    lines = [(line, cells) for line, cells in lines if any(cell.strip() for cell in cells)]
    if not lines:
        raise refused(_("The file is empty. Export the set again."), file=name)
    headings = [cell.strip() for cell in lines[0][1]]
    problems = [
        (line, "", _("%(found)d cells, but %(wanted)d headings. Export the set again.",
                     found=len(cells), wanted=len(headings)), name)
        for line, cells in lines[1:] if len(cells) != len(headings)
    ]
    missing = [needed for needed in NEEDED.get(name, ()) if needed not in headings]
    problems += [(1, column, _("The heading %(column)s is missing. Export the set as OneRoster 1.2.",
                               column=column), name) for column in missing]
    if problems:
        raise AllRefused(problems)
    rows = [Row(line, dict(zip(headings, cells, strict=True))) for line, cells in lines[1:]]
    return [row for row in rows if row["status"].casefold() != GONE]


def _problems(files):
    """What is wrong with the set as a whole."""
    for name in NEEDED:
        if name not in files:
            missing = _("%(file)s is missing in the set. Export it with classes and enrolments.", file=name)
            yield 0, "", missing, name
    if any(name not in files for name in NEEDED):
        return
    yield from _version(files.get("manifest.csv", ()))
    yield from _twice(files["users.csv"], "users.csv")
    yield from _twice(files["classes.csv"], "classes.csv")
    users = {row["sourcedId"] for row in files["users.csv"]}
    known = {row["sourcedId"] for row in files["classes.csv"]}
    links = ("userSourcedId", users, "users.csv"), ("classSourcedId", known, "classes.csv")
    for row in files["enrollments.csv"]:
        for column, among, file in links:
            if row[column] not in among:
                yield row.line, column, _("'%(id)s' is not in %(file)s. Export the set again, whole.",
                                          id=row[column], file=file), "enrollments.csv"


def _version(manifest):
    for row in manifest:
        if row["propertyName"] == "oneroster.version" and not row["value"].startswith(("1.1", "1.2")):
            yield row.line, "value", _("The set is of OneRoster %(version)s; versions 1.2 and 1.1 are read. "
                                       "Export it as OneRoster 1.2.",
                                       version=row["value"]), "manifest.csv"


def _twice(rows, name):
    first = {}
    for row in rows:
        if not row["sourcedId"]:
            yield row.line, "sourcedId", _("this cell is empty, but every row needs one. Export the set "
                                           "again."), name
        elif row["sourcedId"] in first:
            yield row.line, "sourcedId", _("'%(id)s' stands in line %(first)d already. Export the set again.",
                                           id=row["sourcedId"], first=first[row["sourcedId"]]), name
        first.setdefault(row["sourcedId"], row.line)


def _wanted(files, classes):
    """The classes named, by sourcedId; all, where the set has only one with pupils."""
    used = {row["classSourcedId"] for row in files["enrollments.csv"] if _is_pupil(row["role"])}
    rows = [row for row in files["classes.csv"] if row["sourcedId"] in used]
    names = [name.strip() for name in classes.split(",") if name.strip()]
    listed = ", ".join(sorted(row["title"] for row in rows)[:LISTED]) or "-"
    if not names and len(rows) > 1:
        raise refused(_("The set has %(number)d classes with pupils: %(classes)s. Name those that sit this "
                        "exam.", number=len(rows), classes=listed), file="classes.csv")
    strange = [name for name in names if not any(_is_named(row, name) for row in rows)]
    if strange:
        raise refused(_("No class with pupils is called %(names)s; the set has %(classes)s.",
                        names=", ".join(strange), classes=listed), file="classes.csv")
    chosen = [row for row in rows if not names or any(_is_named(row, name) for name in names)]
    return {row["sourcedId"]: row["title"] for row in chosen}


def _is_named(row, name):
    return name.casefold() in (row["title"].casefold(), row["classCode"].casefold())


def _is_pupil(role):
    return role.casefold() == "student"


def _pupils(files, wanted):
    """A row of a class list for each pupil of the classes, in the order and with the lines of users.csv."""
    classes = {}
    for row in files["enrollments.csv"]:
        if row["classSourcedId"] in wanted and _is_pupil(row["role"]):
            classes.setdefault(row["userSourcedId"], []).append(wanted[row["classSourcedId"]])
    users = [row for row in files["users.csv"]
             if row["sourcedId"] in classes and row["enabledUser"].casefold() != "false"]
    full = (name for name in ("identifier", "username") if all(row[name] for row in users))
    column = next(full, "sourcedId")
    return [
        (row.line, [row[column], _given(row), row["familyName"], _titles(classes[row["sourcedId"]])])
        for row in users
    ]


def _titles(titles):
    return ", ".join(sorted(set(titles)))


def _given(row):
    return " ".join(part for part in (row["givenName"], row["middleName"]) if part)
