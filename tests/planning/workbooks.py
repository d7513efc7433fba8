"""Workbooks for the tests of the class list: good ones and hostile ones."""

import io
import zipfile

import openpyxl

SHEET = "xl/worksheets/sheet1.xml"


def workbook(rows, **formats):
    """An .xlsx file with these rows; `formats` maps a cell like A2 to a number format."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for cell, shown_as in formats.items():
        book.active[cell].number_format = shown_as
    return saved(book)


def saved(book):
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def with_part(data, name, change):
    """The workbook with one part rewritten: `change` gets its text (or "") and gives the new one."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            if part != name:
                new.writestr(part, old.read(part))
        was = old.read(name).decode() if name in old.namelist() else ""
        new.writestr(name, change(was))
    return out.getvalue()


def with_text_cell(data, place, text):
    """The workbook with a text cell (not a formula) put at the end of its last row."""
    cell = f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c></row></sheetData>'
    return with_part(data, SHEET, lambda xml: xml.replace("</row></sheetData>", cell))
