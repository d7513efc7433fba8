"""Exports: text cells only, no formula, and every character back again."""

import csv
import io
import re

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.moderation.exports import STARTS_A_FORMULA, as_csv, as_xlsx, guarded, plain, read_csv

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)
ROWS = st.lists(st.lists(TEXT, min_size=2, max_size=4), min_size=1, max_size=5)
HARD = [
    "=1+1",
    '=HYPERLINK("http://x","y")',
    "+2",
    "-OH",
    "@SUM(A1)",
    "\t=1",
    "  =1+1",
    "'",
    "''=1",
    "0071",
    "1e5",
    "Zoë Äpfelwein-Öhlund",
    "שלום",
    "😀" * 150,
    '"quoted", with; commas',
    "two\nlines",
    "TRUE",
    "#N/A",
    "＝1+1",
    "Ann;=1+1;",
    "Ann\t@SUM(A1)",
    "Ann\n=1+1",
    'Ann; "=1+1"',
    "Ann;'=1+1",
    "Ann; '' -OH",
    "a; b",
    "",
]
HARDLY_A_NAME = st.text(st.sampled_from("a;\t\r\n '\"=+-@＝é"), max_size=12)


@pytest.mark.parametrize("text", HARD)
def test_csv_gives_every_text_back(text):
    assert read_csv(as_csv([[text, "x"]])) == [[text, "x"]]


@pytest.mark.parametrize("text", HARD)
def test_a_workbook_holds_every_text_as_text(text):
    [[cell]] = workbook([[text]])

    assert (cell.value or "") == text
    assert cell.data_type != "f"


def test_chemistry_comes_back_as_it_was():
    for text in ("-OH", "+2", "=O", "Ni2+", "SO4^2-", "[Ni(NH3)6]2+"):
        assert plain(guarded(text)) == text


def test_names_begin_with_the_mark_by_which_spreadsheets_know_utf8():
    assert as_csv([["Zoë"]]).startswith(b"\xef\xbb\xbf")


def test_control_characters_do_not_break_a_workbook():
    [[cell]] = workbook([["a\x00b\x1f"]])

    assert cell.value == "a␀b␟"


@given(TEXT)
def test_no_guarded_cell_begins_like_a_formula(text):
    assert not guarded(text).lstrip().startswith(STARTS_A_FORMULA)


@given(TEXT)
def test_the_guard_is_taken_off_exactly(text):
    assert plain(guarded(text)) == text


@given(HARDLY_A_NAME)
def test_the_guard_is_taken_off_exactly_inside_a_text_too(text):
    assert plain(guarded(text)) == text


@given(st.lists(HARDLY_A_NAME, min_size=1, max_size=3))
def test_who_parts_cells_by_another_sign_sees_no_formula(row):
    """Cells as a spreadsheet sees them that parts by semicolon, tab or line end and knows no quotes inside a cell."""
    _start, *pieces = re.split(r"[;\t\r\n]", as_csv([row]).decode("utf-8-sig"))

    assert not [piece for piece in pieces if piece.lstrip(' "').startswith(STARTS_A_FORMULA)]


def test_chemistry_with_a_semicolon_stays_as_it_is():
    assert guarded("green; white; 2+ charge") == "green; white; 2+ charge"


@given(ROWS)
def test_no_cell_of_a_csv_file_begins_like_a_formula_and_all_come_back(rows):
    content = as_csv(rows)
    cells = [cell for row in csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")) for cell in row]

    assert not [cell for cell in cells if cell.lstrip().startswith(STARTS_A_FORMULA)]
    assert read_csv(content) == rows


@given(ROWS)
def test_no_cell_of_a_workbook_is_a_formula(rows):
    assert "f" not in {cell.data_type for row in workbook(rows) for cell in row}


def test_a_column_of_numbers_holds_numbers_and_whatever_else_stands_there_as_text():
    rows = [["Total"], ["7.5"], ["12"], ["007x"], ["-1"], ["=1"], [""]]
    book = openpyxl.load_workbook(io.BytesIO(as_xlsx(rows, "Results", numbers=[0]))).active

    assert [cell.value for cell in book["A"]] == ["Total", 7.5, 12, "007x", "-1", "=1", None]
    assert "f" not in {cell.data_type for cell in book["A"]}


@given(ROWS)
def test_no_cell_is_a_formula_where_every_column_holds_numbers(rows):
    book = openpyxl.load_workbook(io.BytesIO(as_xlsx(rows, "Results", numbers=range(99))))

    assert "f" not in {cell.data_type for row in book.active.iter_rows() for cell in row}


def workbook(rows):
    return list(openpyxl.load_workbook(io.BytesIO(as_xlsx(rows, "Results"))).active.iter_rows())
