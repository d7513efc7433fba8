"""An empty class list to fill in: its headings, and one row that shows how and is passed over on import."""

import csv
import io

import openpyxl

from examkit.planning.headings import USUAL
from examkit.planning.roster import EXAMPLE

ROW = {
    "number": EXAMPLE, "name": "This row is an example; it is not imported", "group": "12B",
    "colour_help": "yes", "extra_time": "25", "left_handed": "yes", "needs": "rest breaks; separate room",
}
MOST_PREPARED = 500  # rows whose first cell is set as text
ROWS = (tuple(USUAL.values()), tuple(ROW.get(key, "") for key in USUAL))


def as_csv():
    """The empty list as CSV in UTF-8, with the mark by which spreadsheets know it."""
    out = io.StringIO(newline="")
    csv.writer(out).writerows(ROWS)
    return out.getvalue().encode("utf-8-sig")


def as_xlsx():
    """The empty list as a workbook; the cells of candidate numbers are text, so that zeros stay."""
    book, out = openpyxl.Workbook(), io.BytesIO()
    for row in ROWS:
        book.active.append(row)
    for row in range(2, MOST_PREPARED):
        book.active.cell(row, 1).number_format = "@"
    book.save(out)
    return out.getvalue()
