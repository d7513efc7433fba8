"""Tables in files: CSV and XLSX as lines of text cells, hostile ones refused before they cost anything."""

import codecs
import csv
import io
import zipfile
from dataclasses import dataclass

from examkit.planning.said import AllRefused
from examkit.planning.said import said as _

LARGEST_MB = 10  # of an XLSX unpacked
LARGEST_CSV_MB = 5
MOST_PARTS = 500
MOST_ZEROS = 40  # before a number; a format of a million zeros would fill the memory
MOST_COLUMNS = 50
MOST_ROWS = 10_000
MOST_LINES = MOST_ROWS + 1  # with the headings
MARKS = {codecs.BOM_UTF8: "utf-8-sig", codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}
MEGABYTE = 1024 * 1024


@dataclass(frozen=True)
class Table:
    """The rows of a sheet with their line numbers, and the places (line, column index) that held formulas."""

    rows: tuple[tuple[int, list[str]], ...]
    formulas: tuple[tuple[int, int], ...] = ()


def refused(what, line=0, column=""):
    """A refusal of the whole file."""
    return AllRefused([(line, column, what)])


def looks_zipped(data, filename):
    """Whether the file is (or says it is) a workbook."""
    name = filename.casefold()
    return data[:4] in (b"PK\x03\x04", b"PK\x05\x06", b"\xd0\xcf\x11\xe0") or name.endswith(
        (".xlsx", ".xlsm", ".xls")
    )


# CSV

def read_csv(data):
    """The rows of a CSV file in UTF-8 or UTF-16; the separator is the one of ; , tab that the first line
    uses most."""
    return Table(tuple(csv_rows(data)))


def csv_rows(data, limit_MB=LARGEST_CSV_MB, most_lines=MOST_LINES * 20):
    """The rows of a CSV file one after the other, as (line, cells)."""
    if len(data) > limit_MB * MEGABYTE:
        raise refused(_("The file has %(size)d MB; limit %(limit)d MB.", size=len(data) // MEGABYTE,
                        limit=limit_MB))
    text = _decode(data)
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        raise refused(
            _("holds a NUL character, so it is not a text file. Save the list as 'CSV UTF-8'."), line
        )
    yield from _csv_rows(text, most_lines)


def _decode(data):
    encoding = next((name for mark, name in MARKS.items() if data.startswith(mark)), "") or _without_mark(
        data
    )
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as problem:
        if encoding.startswith("utf-16"):
            raise refused(_("The file breaks off in the middle of a UTF-16 character. Save the list "
                            "again.")) from None
        before = data[: problem.start]
        line = before.count(b"\n") + 1
        column = len(before) - (before.rfind(b"\n") + 1) + 1
        raise refused(_("character %(column)d is not UTF-8 (byte %(byte)s); the file was probably saved as "
                        "Latin-1 or Windows-1252. Save it as 'CSV UTF-8'.",
                        column=column, byte=f"0x{data[problem.start]:02X}"), line) from None


def _without_mark(data):
    """UTF-16 without a byte order mark shows by a zero in every second byte of the beginning."""
    start = data[:200]
    if len(start) >= 4 and len(start) % 2 == 0 or len(start) == 200:
        for zeros, encoding in ((start[1::2], "utf-16-le"), (start[0::2], "utf-16-be")):
            if zeros.count(0) > 0.8 * len(zeros):
                return encoding
    return "utf-8"


def _csv_rows(text, most_lines):
    first = text.lstrip("\r\n").split("\n", 1)[0]
    separator = max(",;\t", key=lambda mark: _outside_quotes(first, mark))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    start = 1
    try:
        for cells in reader:
            yield start, cells
            if most_lines and start > most_lines:  # lines, not rows: a cell may hold line breaks
                raise refused(_too_many())
            start = reader.line_num + 1
    except csv.Error:
        raise refused(_("a double quote is not closed, or stands inside a cell. Write \"\" for a quote "
                        "inside a quoted cell, and close every quote."), start) from None


def _too_many():
    return _("The sheet has more than 10,000 rows. Split it into one file per exam, or delete the empty "
             "rows below the list.")


def _outside_quotes(line, mark):
    return sum(part.count(mark) for part in line.split('"')[::2])


# XLSX

def read_xlsx(data):
    """The rows of the first sheet that is shown; the ZIP directory is looked at before anything is
    unpacked."""
    _check_parts(data)
    book = _open(data)
    try:
        sheet = next((s for s in book.worksheets if s.sheet_state == "visible"), None)
        if sheet is None:
            raise refused(_("The workbook has no sheet to read."))
        sheet.reset_dimensions()  # what the file says about its size is not to be trusted
        return _sheet_rows(sheet)
    finally:
        book.close()


def _check_parts(data):
    no_workbook = refused(_("This is not an .xlsx workbook. Open it in a spreadsheet and save it as .xlsx, "
                            "or as 'CSV UTF-8'."))
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError):
        raise no_workbook from None
    size = sum(part.file_size for part in parts)
    if size > LARGEST_MB * MEGABYTE:
        raise refused(_("The workbook expands to %(size)d MB; limit %(limit)d MB. Copy the list into a new "
                        "workbook.",
                        size=-(-size // MEGABYTE), limit=LARGEST_MB))
    names = {part.filename for part in parts}
    if len(parts) > MOST_PARTS or "[Content_Types].xml" not in names or "xl/workbook.xml" not in names:
        raise no_workbook
    if any(part.flag_bits & 1 for part in parts):
        raise refused(_("The workbook is protected by a password. Save it without one."))


def _open(data):
    """The workbook, read only as far as it is asked; openpyxl uses defusedxml where it is installed (we
    require it)."""
    import openpyxl

    with _reading():
        return openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)


class _reading:
    """What the libraries raise on broken or hostile workbooks, as a refusal in words."""

    def __enter__(self):
        return self

    def __exit__(self, kind, problem, _trace):
        from lzma import LZMAError
        from xml.etree.ElementTree import ParseError
        from zlib import error as ZlibError

        from defusedxml import DefusedXmlException

        if any(isinstance(link, DefusedXmlException) for link in _chain(problem)):
            raise refused(_("The workbook contains forbidden XML (an entity or an outside reference). Copy "
                            "the list into a new workbook.")) from None
        broken = (zipfile.BadZipFile, ParseError, ZlibError, KeyError, ValueError, TypeError, AttributeError,
                  IndexError, EOFError, OSError, LZMAError, NotImplementedError)
        if isinstance(problem, broken) and not isinstance(problem, AllRefused):
            raise refused(_("The workbook is damaged or not an .xlsx workbook. Open it in a spreadsheet "
                            "and save it again.")) from None


def _chain(problem):
    """An exception and those that it came from (openpyxl wraps what the XML parser says)."""
    while problem is not None:
        yield problem
        problem = problem.__cause__ or problem.__context__


def _sheet_rows(sheet):
    rows, formulas = [], []
    with _reading():
        for line, cells in enumerate(sheet.iter_rows(), start=1):
            if line > MOST_LINES:
                raise refused(_too_many())
            if len(cells) > MOST_COLUMNS:
                raise refused(_("has a cell in column %(column)d; more than 50 columns. Delete what stands "
                                "to the right of the list.", column=len(cells)), line)
            rows.append((line, [_text(cell) for cell in cells]))
            formulas += [(line, index) for index, cell in enumerate(cells) if cell.data_type == "f"]
    width = max((_filled(cells) for _line, cells in rows), default=0)
    return Table(tuple((line, (cells + [""] * width)[:width]) for line, cells in rows), tuple(formulas))


def _filled(cells):
    """The number of cells up to the last one that is not empty."""
    return max((index for index, cell in enumerate(cells, start=1) if cell.strip()), default=0)


def _text(cell):
    """A cell as text as the teacher sees it: 7 shown as 007 stays 007."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return _number_text(value, cell.number_format)
    if hasattr(value, "isoformat"):
        return value.isoformat()
    return str(getattr(value, "text", value))  # a formula over several cells keeps its text inside


def _number_text(value, shown_as):
    if "%" in shown_as:
        value = round(value * 100, 6)
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        value = int(value)
    zeros = len(shown_as) if len(shown_as) <= MOST_ZEROS and set(shown_as) == {"0"} else 0
    return str(value).zfill(zeros) if isinstance(value, int) else str(value)
