"""The bad class lists that are too large or too broken to be written down, and a good OneRoster set."""

import io
import zipfile
from pathlib import Path

import openpyxl
import yaml

from tests.planning.workbooks import SHEET, saved, with_part, with_text_cell, workbook

MEGABYTE = 1024 * 1024
USERS = """sourcedId,enabledUser,identifier,givenName,familyName
u1,true,007,Ada,Byte
u2,true,008,Ben,Cole
u3,false,009,Chi,Dee
t1,true,900,Tea,Cher
"""
CLASSES = "sourcedId,title,classCode\nc1,Chemistry A,CA\n"
ENROLLMENTS = "classSourcedId,userSourcedId,role\nc1,u1,student\nc1,u2,student\nc1,u3,student\nc1,t1,teacher\n"
MANIFEST = "propertyName,value\nmanifest.version,1.0\noneroster.version,1.2\n"
SET = {"manifest.csv": MANIFEST, "users.csv": USERS, "classes.csv": CLASSES, "enrollments.csv": ENROLLMENTS}


def cases():
    """Every bad list: (file name, bytes, words of the message)."""
    rows = yaml.safe_load((Path(__file__).parent / "bad_rosters.yaml").read_text(encoding="utf-8"))
    return [(row.get("name", "list.csv"), _bytes(row), row["says"]) for row in rows]


def _bytes(row):
    if "make" in row:
        return MAKE[row["make"]]()
    if "hex" in row:
        return bytes.fromhex(row["hex"])
    if "sheet" in row:
        return workbook(row["sheet"])
    return zipped(row["zip"]) if "zip" in row else row["text"].encode()


def zipped(files):
    """A ZIP of these files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return out.getvalue()


def roster_set(**files):
    """A OneRoster set with some files otherwise: users="..." stands for users.csv."""
    return zipped(SET | {f"{name}.csv": text for name, text in files.items()})


def _expanding():
    return with_part(workbook([["Number", "Name"]]), "xl/media/image1.png", lambda _xml: "0" * 48 * MEGABYTE)


def _bomb():
    doctype = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'
    return with_part(workbook([["Number", "Name"], [1, "Ada"]]), SHEET, lambda xml: doctype + xml.split("?>")[-1])


def _far_down():
    book = openpyxl.Workbook()
    book.active["A1"], book.active["B1"], book.active["A10050"] = "Number", "Name", 1
    return saved(book)


def _hidden():
    data = workbook([["Number", "Name"], [1, "Ada"]])
    return with_part(data, "xl/workbook.xml", lambda xml: xml.replace('state="visible"', 'state="hidden"'))


def _damaged():
    data = bytearray(roster_set(users=USERS * 40))
    at = data.index(b"users.csv") + len("users.csv") + 20
    data[at:at + 30] = bytes(30)
    return bytes(data)


def _packed_otherwise(data, method):
    """The same ZIP packed by another method, its packed bytes damaged."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", method) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    packed, places = bytearray(out.getvalue()), zipfile.ZipFile(io.BytesIO(out.getvalue())).infolist()
    for part in places:
        at = part.header_offset + 30 + len(part.filename)
        packed[at + 12:at + 30] = bytes(255 - byte for byte in packed[at + 12:at + 30])
    return bytes(packed)


def _unknown_method():
    data = workbook([["Number", "Name"], [1, "Ada"]])
    for mark, place in ((b"PK\x01\x02", 10), (b"PK\x03\x04", 8)):
        head, *parts = data.split(mark)
        place -= len(mark)
        data = mark.join([head, *(part[:place] + b"\x61\0" + part[place + 2:] for part in parts)])
    return data


MAKE = {
    "workbook_packed_by_lzma": lambda: _packed_otherwise(
        workbook([["Number", "Name"], [1, "Ada"]]), zipfile.ZIP_LZMA),
    "workbook_packed_by_nobody": _unknown_method,
    "set_packed_by_lzma": lambda: _packed_otherwise(roster_set(users=USERS * 40), zipfile.ZIP_LZMA),
    "too_many_rows": lambda: b"Number,Name\n" + b"".join(b"%d,Ada\n" % n for n in range(10_001)),
    "too_large": lambda: b"Number,Name\n" + b"1,Ada\n" * MEGABYTE,
    "zip_without_workbook": lambda: zipped({"hello.txt": "hello"}),
    "workbook_that_expands": _expanding,
    "entity_bomb": _bomb,
    "cell_far_right": lambda: with_text_cell(workbook([["Number", "Name"], [1, "Ada"]]), "XFD2", "far"),
    "row_far_down": _far_down,
    "truncated_workbook": lambda: workbook([["Number", "Name"], [1, "Ada"]])[:-200],
    "no_sheet_shown": _hidden,
    "long_name": lambda: f"Number,Name\n1,{'N' * 301}\n".encode(),
    "long_number": lambda: f"Number,Name\n{'1' * 41},Ada\n".encode(),
    "long_class": lambda: f"Number,Name,Class\n1,Ada,{'c' * 61}\n".encode(),
    "set_of_two_classes": lambda: roster_set(
        classes=CLASSES + "c2,Chemistry B,CB\n", enrollments=ENROLLMENTS + "c2,u2,student\n"),
    "set_with_a_stranger": lambda: roster_set(enrollments="classSourcedId,userSourcedId,role\nc1,u9,student\n"),
    "set_of_version_3": lambda: roster_set(manifest=MANIFEST.replace("1.2", "3.0")),
    "set_with_a_user_twice": lambda: roster_set(users=USERS.replace("u2,", "u1,")),
    "set_without_a_heading": lambda: roster_set(users=USERS.replace("familyName", "surname")),
    "set_in_latin_1": lambda: zipped(SET | {"users.csv": USERS.replace("Ada", "Zoé").encode("latin-1")}),
    "set_with_a_short_row": lambda: roster_set(users=USERS.replace("u1,true,007,Ada,Byte", "u1,true,007")),
    "set_that_is_damaged": _damaged,
    "set_with_two_of_a_number": lambda: roster_set(users=USERS.replace("007", "7").replace("008", "7")),
    "set_without_pupils": lambda: roster_set(enrollments="classSourcedId,userSourcedId,role\nc1,t1,teacher\n"),
}
