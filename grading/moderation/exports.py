"""Results as files. Pure: rows of text in, CSV or XLSX out; every cell is text, whatever it begins with, but
for the columns of a workbook that are said to hold numbers.

A spreadsheet takes a cell that begins with = + - @ for a formula. In CSV such a cell gets an apostrophe,
and so does one that begins with an apostrophe: `plain` takes exactly one off, and -OH and +2 come back. A
spreadsheet that parts cells by another sign than ours sees new cells begin inside a text: there it is done,
too.
"""

import csv
import io
import re
from decimal import Decimal

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font

STARTS_A_FORMULA = tuple("=+-@\t\r\n＝＋－＠")
APOSTROPHE = "'"
STARTS_INSIDE = r"""(?=[\s"]*['=+\-@＝＋－＠])"""  # how a cell would begin, behind what parts cells elsewhere
PARTED = re.compile(rf"(?<=[;\t\r\n]){STARTS_INSIDE}")
PARTED_GUARDED = re.compile(rf"(?<=[;\t\r\n])'{STARTS_INSIDE}")
DECIMAL = re.compile(r"[0-9]{1,12}(\.[0-9]{1,6})?")
CONTROL = {code: 0x2400 + code for code in range(32) if code not in (9, 10, 13)}  # XLSX has none: shown
LONGEST = 32_767  # characters in a cell of a workbook


def guarded(text):
    """A cell that no spreadsheet takes for a formula.

    >>> guarded("=1+1"), guarded("-OH"), guarded("Zoë"), guarded("'tis")
    ("'=1+1", "'-OH", 'Zoë', "''tis")
    >>> guarded("Ann;=1+1;")
    "Ann;'=1+1;"
    """
    risky = text.startswith((APOSTROPHE, *STARTS_A_FORMULA)) or text.lstrip().startswith(STARTS_A_FORMULA)
    return (APOSTROPHE if risky else "") + PARTED.sub(APOSTROPHE, text)


def plain(cell):
    """The text of a guarded cell.

    >>> plain(guarded("+2")), plain(guarded("'tis"))
    ('+2', "'tis")
    """
    return PARTED_GUARDED.sub("", cell.removeprefix(APOSTROPHE))


def as_csv(rows):
    """Rows of text as CSV in UTF-8 with a mark at its head, by which spreadsheets know it."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_ALL)
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8-sig", errors="replace")


def read_csv(content):
    """The rows of text that `as_csv` was given."""
    text = io.StringIO(content.decode("utf-8-sig"), newline="")
    return [[plain(cell) for cell in row] for row in csv.reader(text)]


def as_xlsx(rows, title, numbers=()):
    """Rows of text as a workbook with one sheet; the first row is its head and stays in sight.

    `numbers` are the columns, from 0, whose decimal numbers a spreadsheet shall be able to add up.
    """
    book = Workbook(write_only=True)
    sheet = book.create_sheet(title)
    sheet.freeze_panes = "A2"
    for index, row in enumerate(rows):
        sheet.append([
            WriteOnlyCell(sheet, Decimal(text)) if column in numbers and DECIMAL.fullmatch(text)
            else _cell(sheet, text, head=index == 0)
            for column, text in enumerate(row)
        ])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _cell(sheet, text, *, head):
    cell = WriteOnlyCell(sheet, value="")
    cell.value = text.translate(CONTROL)[:LONGEST]
    cell.data_type = "s"  # never "f", which is what the library makes of a leading =
    cell.number_format = "@"
    if text.startswith(STARTS_A_FORMULA):
        cell.quotePrefix = True
    if head:
        cell.font = Font(bold=True)
    return cell
