"""Records in tables: a row for each line of a record, columns known by their headings."""

from django.utils.translation import gettext as _

from examkit.planning import sheets
from examkit.planning.said import AllRefused
from grading.entry.files.written import (
    ANION,
    CATION,
    CODE,
    INFERENCE,
    MOST_ROWS,
    OBSERVATION,
    TEST,
    Cell,
    Entry,
    Problem,
    Reading,
    empty,
    too_many_rows,
)
from grading.marking.parts import RESULT

HEADINGS = {  # what a column is called -> what it is
    "sample code": CODE, "code": CODE, "sample": CODE,
    "test": TEST,
    "observation": OBSERVATION, "observed": OBSERVATION,
    "inference": INFERENCE, "inferred": INFERENCE,
    "cation": CATION, "cation found": CATION, "anion": ANION, "anion found": ANION,
}
TITLES = {CODE: "Sample code", TEST: "Test", OBSERVATION: "Observation", INFERENCE: "Inference",
          CATION: "Cation", ANION: "Anion"}  # as the template has them
NEEDED = (CODE, TEST)


def read_table(data, filename):
    """The records in a CSV or XLSX file; nothing raises, problems are told in the reading."""
    try:
        table = sheets.read(data, filename)
    except AllRefused as refusal:
        return Reading.refused(*(Problem(line, column, str(what)) for line, column, what in refusal.problems))
    rows = [(line, cells) for line, cells in table.rows if any(cell.strip() for cell in cells)]
    if not rows:
        return Reading.refused(empty())
    (line, heads), *rest = rows
    columns, problems = _columns(line, heads)
    if len(rest) > MOST_ROWS:
        problems.append(too_many_rows())
    if problems:
        return Reading.refused(*problems)
    return _read(columns, heads, rest, table.formulas)


def _columns(line, heads):
    """{what: index} of the headings, and what is wrong with them."""
    columns, problems = {}, []
    for index, head in enumerate(heads):
        what = HEADINGS.get(" ".join(head.split()).casefold())
        if what is None and head.strip():
            problems.append(Problem(line, head, _("this heading is not known. There are: %(titles)s.")
                                    % {"titles": ", ".join(TITLES.values())}))
        elif what in columns:
            problems.append(Problem(line, head, _("two columns have this heading. Keep one.")))
        elif what:
            columns[what] = index
    missing = [TITLES[what] for what in NEEDED if what not in columns]
    if missing:
        problems.append(Problem(line, "", _("these headings are missing: %(titles)s. The first line must "
                                            "hold them.") % {"titles": ", ".join(missing)}))
    return columns, problems


def _read(columns, heads, rows, formulas):
    entries, problems = [], []
    for line, cells in rows:
        if any(cell.strip() for cell in cells[len(heads):]):
            problems.append(Problem(line, "", _("more cells than headings. A cell that holds the separator "
                                                "must stand in double quotes.")))
            continue
        row = {what: Cell(cells[index] if index < len(cells) else "", line, heads[index])
               for what, index in columns.items()}
        found, wrong = _entries(row, line)
        entries += found
        problems += wrong
    remarks = [Problem(line, heads[index] if index < len(heads) else "",
                       _("this cell holds a formula; its text was kept as it stands."))
               for line, index in formulas]
    return Reading.of(entries, problems, remarks)


def _entries(row, line):
    """The line and the result that a row holds, and what is wrong with it."""
    nothing = Cell("", line)
    cell = {what: row.get(what, nothing) for what in TITLES}
    has_words = any(cell[what].text.strip() for what in (OBSERVATION, INFERENCE, CATION, ANION))
    if not has_words:
        return [], []
    is_result = cell[TEST].text.strip().casefold() == RESULT
    if is_result and (cell[OBSERVATION].text.strip() or cell[INFERENCE].text.strip()):
        return [], [Problem.at(cell[TEST], _("of the result, the ions go into the columns Cation and "
                                             "Anion."))]
    result = Entry(cell[CODE], Cell(RESULT, line, cell[TEST].column), cell[CATION], cell[ANION])
    line_ = Entry(cell[CODE], cell[TEST], cell[OBSERVATION], cell[INFERENCE])
    return [result] if is_result else [line_, result], []
