"""Reading a class list: usual files first, text kept exactly, then every refusal with its line and way out."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.planning.roster import Entry, read_roster
from tests.planning import workbooks
from tests.planning.workbooks import SHEET, with_part, workbook

HEADINGS = ["Number", "Name", "Class", "Sitting", "Colour vision", "Extra time (%)"]


def entries(data, filename="list.csv"):
    reading = read_roster(data, filename)
    assert not reading.problems, [str(problem) for problem in reading.problems]
    return reading.entries


def problems(data, filename="list.csv"):
    reading = read_roster(data, filename)
    assert reading.entries == ()
    return [str(problem) for problem in reading.problems]


# Usual files

def test_a_csv_with_all_columns():
    data = b"Number,Name,Class,Sitting,Bench,Colour vision,Extra time\n001,Ada Byte,12B,morning,A1,yes,25%\n"

    assert entries(data) == (Entry("001", "Ada Byte", "12B", "morning", "A1", True, 25),)


def test_an_xlsx_with_all_columns():
    data = workbook([HEADINGS, ["001", "Ada Byte", "12B", "morning", "yes", 25]])

    assert entries(data, "list.xlsx") == (Entry("001", "Ada Byte", "12B", "morning", "", True, 25),)


def test_an_xlsx_is_known_by_its_content_whatever_its_name():
    assert entries(workbook([["No", "Name"], ["7", "Ben"]]), "list.csv")[0].number == "7"


@pytest.mark.parametrize("separator", [",", ";", "\t"], ids=["comma", "semicolon", "tab"])
def test_the_separator_is_found(separator):
    data = f"Number{separator}Name\n1{separator}Ada\n".encode()

    assert entries(data) == (Entry("1", "Ada"),)


def test_a_comma_inside_quotes_is_no_separator():
    assert entries('"Number";"Name, first"\n'.replace(", first", "").encode() + b'1;"Byte, Ada"\n')[0].name == "Byte, Ada"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_utf_8_and_utf_16_with_and_without_a_mark_are_read(encoding):
    text = "Number,Name\n1,Zoë Đặng\n"

    assert entries(text.encode(encoding))[0].name == "Zoë Đặng"


@pytest.mark.parametrize("number", [
    "Candidate No.", "ROLL NO", "roll_no", "Index number", "Student ID", "Nr", "#", "Reg. No.", "Exam number",
])
def test_the_usual_headings_for_the_number_are_known(number):
    assert entries(f"{number},Full name\n012,Ada\n".encode()) == (Entry("012", "Ada"),)


def test_first_and_last_name_are_put_together():
    assert entries(b"No,Surname,First name\n1,Byte,Ada\n")[0].name == "Ada Byte"


def test_it_is_told_what_each_column_was_read_as():
    reading = read_roster(b"Roll no,Name,Favourite colour\n1,Ada,red\n")

    assert reading.columns == (("Roll no", "number"), ("Name", "name"), ("Favourite colour", ""))


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_every_kind_of_line_ending_is_read(ending):
    assert len(entries(ending.join(["No,Name", "1,Ada", "2,Ben", ""]).encode())) == 2


def test_empty_lines_and_empty_cells_at_the_end_are_passed_over():
    assert len(entries(b"\nNo,Name,,\n\n1,Ada,,\n,,,\n2,Ben,,\n")) == 2


def test_a_cell_may_hold_a_line_break_only_where_it_is_refused_with_the_right_line():
    data = b'No,Name,Class\n1,"Ada\nByte",x\n2,,y\n'

    assert problems(data) == [
        "line 2, column Name: holds a line break. Write it in one line.",
        "line 4, column Name: this cell is empty, but every candidate needs one. Fill it in.",
    ]


# Kept exactly

@pytest.mark.parametrize("name", [
    "Zoë Ångström", "Zoë", "محمد علي", "דוד", "李雷", "Ada 🧪 Byte", "O'Neill-Smith", "=1+1", "+44", "-OH",
    "@home", "<b>Ada</b>", "<script>alert(1)</script>", "N" * 300, "\u200fAda\u200e",
])
def test_names_of_every_kind_are_kept_exactly(name):
    assert entries(f"No,Name\n1,{name}\n".encode())[0].name == name
    written = workbook([["No", "Name"], ["1", "x"]])
    as_text = with_part(written, SHEET, lambda xml: xml.replace(">x<", f">{escaped(name)}<"))
    assert entries(as_text, "list.xlsx")[0].name == name


def escaped(text):
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def test_leading_zeros_are_kept_in_csv_and_in_text_cells():
    assert entries(b"No,Name\n0007,Ada\n")[0].number == "0007"
    assert entries(workbook([["No", "Name"], ["0007", "Ada"]]))[0].number == "0007"


def test_leading_zeros_that_a_workbook_only_shows_are_kept():
    assert entries(workbook([["No", "Name"], [7, "Ada"]], A2="0000"))[0].number == "0007"


def test_whole_numbers_of_a_workbook_have_no_decimal_point():
    assert entries(workbook([["No", "Name"], [7.0, "Ada"]]))[0].number == "7"


def test_a_percentage_of_a_workbook_is_read_as_shown():
    data = workbook([["No", "Name", "Extra time"], ["1", "Ada", 0.25]], C2="0%")

    assert entries(data)[0].extra_time == 25


def test_a_formula_of_a_workbook_is_kept_as_text_and_it_is_said():
    reading = read_roster(workbook([["No", "Name"], ["1", "=1+1"]]), "list.xlsx")

    assert reading.entries[0].name == "=1+1"
    assert [str(remark) for remark in reading.remarks] == [
        "line 2, column Name: this cell holds a formula; its text was kept as it stands."]


@settings(max_examples=100)
@given(st.lists(st.text(st.characters(blacklist_categories=("Cc", "Cs")), min_size=1, max_size=30)
                .filter(lambda name: name.strip(" \u00a0") == name and name.strip()), min_size=1, max_size=8))
def test_any_names_survive_the_way_through_csv(names):
    import csv
    import io

    out = io.StringIO()
    csv.writer(out).writerows([["No", "Name"], *([str(n), name] for n, name in enumerate(names))])

    assert [entry.name for entry in entries(out.getvalue().encode())] == names


@settings(max_examples=300)
@given(st.binary(max_size=200))
def test_no_bytes_whatever_raise(data):
    read_roster(data)
    read_roster(b"PK\x03\x04" + data, "x.xlsx")


# Refusals: what, where, way out; all at once

def test_all_problems_of_a_list_are_told_at_once():
    data = b"No,Name,Extra time,Colour vision\n1,Ada,much,\n,Ben,,maybe\n1,Chi,25,\n"

    assert problems(data) == [
        "line 2, column Extra time: 'much' is not a whole percentage from 0 to 200. Write 25 for a quarter more time.",
        "line 3, column No: this cell is empty, but every candidate needs one. Fill it in.",
        "line 3, column Colour vision: 'maybe' is neither yes nor no. Write yes for who needs help with colours, or leave it "
        "empty.",
        "line 4, column No: candidate number 1 stands in line 2 already. Each candidate needs a number of their own: "
        "correct one of the two, or delete the line that is too much.",
    ]


def test_latin_1_is_refused_with_line_and_byte_and_the_way_out():
    said = problems("No,Name\n1,Ada\n2,Zoë\n".encode("latin-1"))

    assert said == ["line 3: character 5 is not UTF-8 (byte 0xEB); the file was probably saved as Latin-1 or "
                    "Windows-1252. Save it as 'CSV UTF-8'."]


def test_a_nul_is_refused_with_its_line():
    assert problems(b"No,Name\n1,A\0da\n")[0].startswith("line 2: holds a NUL character")


def test_an_unclosed_quote_is_refused_with_the_line_where_it_opens():
    assert problems(b'No,Name\n1,Ada\n2,"Ben\n3,Chi\n')[0].startswith("line 3: a double quote is not closed")


def test_a_short_row_and_a_long_row_are_refused_with_their_lines():
    said = problems(b"No,Name,Class\n1,Ada\n2,Ben,12,what\n")

    assert said[0].startswith("line 2: 2 cells, but 3 headings.")
    assert said[1].startswith("line 3: 4 cells, but 3 headings.")


def test_a_list_without_headings_is_refused_with_what_stands_there():
    assert problems(b"1,Ada\n2,Ben\n") == [
        "line 1: no column is called Number or Name; the first line has '1', 'Ada'. Put a line above the candidates "
        "that names the columns: Number, Name, Class.",
    ]


def test_two_columns_for_one_thing_are_refused():
    assert "'No' and 'Roll no' would both be read as candidate number" in problems(b"No,Roll no,Name\n1,2,Ada\n")[0]


def test_an_empty_file_and_a_list_without_candidates_are_refused():
    assert problems(b"") == ["The file is empty. Save the class list again and retry."]
    assert problems(b"No,Name\n") == [
        "There are headings, but no candidates below them. Put each candidate in a row below the headings."]


def test_more_than_five_thousand_rows_are_refused():
    data = b"No,Name\n" + b"".join(b"%d,Ada\n" % n for n in range(10001))

    assert "10001 rows: more than 10,000 rows." in problems(data)[0]


def test_exactly_five_thousand_rows_are_read():
    assert len(entries(b"No,Name\n" + b"".join(b"%d,Ada\n" % n for n in range(10000)))) == 10000


def test_too_long_a_name_is_refused_with_its_length():
    assert problems(b"No,Name\n1," + b"N" * 301 + b"\n") == [
        "line 2, column Name: 301 characters, at most 300 are kept. Shorten it."]


# Hostile workbooks

def test_a_workbook_that_expands_far_is_refused_from_its_directory():
    bomb = with_part(workbook([["No", "Name"]]), "xl/media/zeros.bin", lambda _was: "0" * 48 * 2**20)

    assert len(bomb) < 100_000
    assert problems(bomb, "list.xlsx") == [
        "The file expands to 49 MB; limit 10 MB. Copy the list into a new file, or export one year at a time."]


def test_a_workbook_that_lies_about_its_size_is_refused():
    data = bytearray(with_part(workbook([["No", "Name"]]), SHEET, lambda xml: xml + " " * 12 * 2**20))
    true = (12 * 2**20).to_bytes(4, "little")[2:]  # the high bytes of the size, in header and directory
    data = bytes(data).replace(true, b"\x01\x00")

    assert problems(data, "list.xlsx")


def test_a_cell_in_the_last_corner_is_refused_without_a_million_rows():
    data = workbooks.with_part(workbook([["No", "Name"], ["1", "Ada"]]), SHEET, lambda xml: xml.replace(
        "</sheetData>", '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'))

    assert "more than 10,000 rows" in problems(data, "list.xlsx")[0]


def test_a_cell_far_to_the_right_is_refused():
    data = workbooks.with_text_cell(workbook([["No", "Name"], ["1", "Ada"]]), "XFD2", "far")

    assert "line 2: has a cell in column 16384; more than 50 columns" in problems(data, "list.xlsx")[0]


@pytest.mark.parametrize("doctype", [
    '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>',
    '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>',
], ids=["entity bomb", "outside entity"])
@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "xl/styles.xml"])
def test_forbidden_xml_is_refused(doctype, part):
    data = with_part(workbook([["No", "Name"], ["1", "Ada"]]), part, lambda xml: doctype + xml)

    assert "forbidden XML" in problems(data, "list.xlsx")[0]


@pytest.mark.parametrize("data", [
    b"No,Name\n1,Ada\n", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, b"PK\x03\x04" + b"\0" * 50, b"",
], ids=["text as .xlsx", "an old .xls", "a broken ZIP", "nothing"])
def test_what_is_no_workbook_is_refused(data):
    assert "not an .xlsx workbook" in problems(data, "list.xlsx")[0]


def test_a_zip_without_a_workbook_is_refused():
    import io
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("hello.txt", "hello")

    assert "not an .xlsx workbook" in problems(out.getvalue(), "list.xlsx")[0]


def test_a_damaged_sheet_is_refused():
    data = with_part(workbook([["No", "Name"], ["1", "Ada"]]), SHEET, lambda xml: xml[: len(xml) // 2])

    assert "damaged" in problems(data, "list.xlsx")[0]
