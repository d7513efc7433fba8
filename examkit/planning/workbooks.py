"""XLSX workbooks as tables of text cells; hostile ones are refused before they cost anything."""

import io

from defusedxml import DefusedXmlException

from examkit.planning import zipped
from examkit.planning.said import said as _
from examkit.planning.tables import MOST_LINES, Table, too_many
from examkit.planning.zipped import asked, refused

LARGEST_MB = 10  # unpacked
MOST_PARTS = 500
MOST_COLUMNS = 50
MOST_ZEROS = 40  # before a number; a format of a million zeros would fill the memory
NEEDED = {"[Content_Types].xml", "xl/workbook.xml"}


def read_xlsx(data):
    """The rows of the first sheet that is shown."""
    _check_parts(data)
    book = asked(lambda: _opened(data), _broken)
    try:
        sheet = asked(lambda: next((s for s in book.worksheets if s.sheet_state == "visible"), None), _broken)
        if sheet is None:
            raise refused(_("The workbook shows no sheet to read. Unhide the sheet with the list and "
                            "save it."))
        return _table(sheet)
    finally:
        book.close()


def _check_parts(data):
    """The directory tells, before anything is unpacked, whether this is a workbook, and how large."""
    parts = zipped.parts(data)
    if len(parts) > MOST_PARTS or not {part.filename for part in parts} >= NEEDED:
        raise refused(_("This is not an .xlsx workbook. Open it in a spreadsheet and save it as .xlsx, or as "
                        "'CSV UTF-8'."))
    zipped.check(parts, LARGEST_MB)


def _opened(data):
    """Read only as far as it is asked; openpyxl uses defusedxml where it is installed (we require it)."""
    import openpyxl  # heavy, and most lists are CSV

    return openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)


def _broken(problem):
    """The refusal of a workbook that the library could not read."""
    if any(isinstance(link, DefusedXmlException) for link in _chain(problem)):
        return refused(_("The workbook contains forbidden XML (an entity or an outside reference). Copy the "
                         "list into a new workbook."))
    return refused(_("The workbook is damaged or not an .xlsx workbook. Open it in a spreadsheet and save it "
                     "again."))


def _chain(problem):
    """An exception and those that it came from (openpyxl wraps what the XML parser says)."""
    while problem is not None:
        yield problem
        problem = problem.__cause__ or problem.__context__


def _table(sheet):
    asked(sheet.reset_dimensions, _broken)  # what the file says about its size is not to be trusted
    rows, formulas, lines = [], [], sheet.iter_rows()
    while (cells := asked(lambda: _next(lines), _broken)) is not None:
        line = len(rows) + 1
        if line > MOST_LINES:
            raise refused(too_many())
        if len(cells) > MOST_COLUMNS:
            raise refused(_("has a cell in column %(column)d; more than 50 columns. Delete what stands to "
                            "the right of the list.", column=len(cells)), line)
        rows.append((line, [_text(value, shown_as) for value, shown_as, _kind in cells]))
        formulas += [(line, index) for index, (_value, _shown, kind) in enumerate(cells) if kind == "f"]
    width = max((_filled(cells) for _line, cells in rows), default=0)
    return Table(tuple((line, (cells + [""] * width)[:width]) for line, cells in rows), tuple(formulas))


def _next(lines):
    """The next row as (value, how a number is shown, kind), or None: all that is asked of the library."""
    cells = next(lines, None)
    return cells if cells is None else [_plain(cell) for cell in cells]


def _plain(cell):
    shown_as = cell.number_format if isinstance(cell.value, (int, float)) else ""
    return cell.value, shown_as, cell.data_type


def _filled(cells):
    """The number of cells up to the last one that is not empty."""
    return max((index for index, cell in enumerate(cells, start=1) if cell.strip()), default=0)


def _text(value, shown_as):
    """A cell as text as the teacher sees it: 7 shown as 007 stays 007."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return _number_text(value, shown_as)
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
