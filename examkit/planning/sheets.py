"""Tables in files, as lines of text cells: which kind a file is, and CSV; hostile ones cost nothing."""

import codecs
import csv
import io

from examkit.planning.said import said as _
from examkit.planning.tables import MOST_LINES, Table, too_many
from examkit.planning.workbooks import read_xlsx
from examkit.planning.zipped import MEGABYTE, refused

LARGEST_CSV_MB = 5
OTHER_KINDS = (  # how files begin that are taken for lists by mistake (in lower case)
    ((b"%pdf",), _("a PDF")),
    ((b"\x89png", b"\xff\xd8\xff", b"gif8", b"<svg"), _("a picture")),
    ((b"<!doctype", b"<html", b"<head", b"<?xml"), _("a web page or XML")),
    ((b'{"', b"[{"), _("JSON")),
    ((b"{\\rtf",), _("a text document")),
)
MARKS = {codecs.BOM_UTF8: "utf-8-sig", codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}


def read(data, filename=""):
    """The table in a workbook or a CSV file; AllRefused tells all that is wrong with the file."""
    if looks_zipped(data, filename):
        return read_xlsx(data)
    return read_csv(data)


def looks_zipped(data, filename):
    """Whether the file is (or says it is) a workbook."""
    name = filename.casefold()
    return data[:4] in (b"PK\x03\x04", b"PK\x05\x06", b"\xd0\xcf\x11\xe0") or name.endswith(
        (".xlsx", ".xlsm", ".xls")
    )


def read_csv(data):
    """The rows of a CSV file in UTF-8 or UTF-16; the separator is the one of ; , tab that the first line
    uses most."""
    start = data[:200].removeprefix(codecs.BOM_UTF8).lstrip().lower()
    kind = next((kind for marks, kind in OTHER_KINDS if start.startswith(marks)), None)
    if kind:
        raise refused(_("The file is %(kind)s, not a list. Save the list itself as .xlsx or 'CSV UTF-8'.",
                        kind=kind))
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
                raise refused(too_many())
            start = reader.line_num + 1
    except csv.Error:
        raise refused(_("a double quote is not closed, or stands inside a cell. Write \"\" for a quote "
                        "inside a quoted cell, and close every quote."), start) from None


def _outside_quotes(line, mark):
    return sum(part.count(mark) for part in line.split('"')[::2])
