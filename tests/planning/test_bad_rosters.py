"""Every bad class list is told in words, through the page as well, and nothing of it is saved."""

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from examkit.models import AuditEntry, Candidate
from examkit.planning import sheets
from examkit.planning.roster import read_roster
from tests.planning import bad_rosters, exams
from tests.planning.workbooks import saved

CASES = bad_rosters.cases()
NAMES = [says[:60] for _name, _data, says in CASES]


def test_there_are_sixty_bad_lists_or_more():
    assert len(CASES) >= 60


@pytest.mark.parametrize(("name", "data", "says"), CASES, ids=NAMES)
def test_a_bad_list_is_told_in_words_and_gives_no_candidates(name, data, says):
    reading = read_roster(data, name)

    assert reading.entries == ()
    assert any(says in str(problem) for problem in reading.problems), [str(one) for one in reading.problems]


WAYS_OUT = ("Save", "Fill in", "Fill it in", "Put ", "Write ", "Name ", "Rename", "Split", "Export", "Delete", "Shorten", "Copy ",
            "Type ", "Unhide", "correct one", "Open it", "must stand in", "limit 5 MB")


@pytest.mark.parametrize(("name", "data", "says"), CASES, ids=NAMES)
def test_every_problem_says_where_it_is_and_what_to_do(name, data, says):
    for problem in read_roster(data, name).problems:
        assert any(way in str(problem.what) for way in WAYS_OUT), str(problem)
        assert problem.line or not problem.column
        whole = ("file", "workbook", "sheet", "set", "list", ".csv", "headings")
        assert problem.line or any(word in str(problem.what).lower() for word in whole), str(problem)


@pytest.mark.django_db
def test_no_bad_list_saves_anything(cast, client):
    exam = exams.draft(cast)
    client.force_login(cast.teacher)
    entries = AuditEntry.objects.count()

    for name, data, _says in CASES:
        page = client.post(reverse("planning:roster-import", args=[exam.pk]), {"list": SimpleUploadedFile(name, data)})
        assert page.status_code == (200 if not data else 422), (name, page.status_code)

    assert Candidate.objects.count() == 0 and AuditEntry.objects.count() == entries


# OneRoster sets that are as they should be

def test_the_pupils_of_the_class_are_read_with_their_numbers():
    reading = read_roster(bad_rosters.roster_set(), "set.zip")

    assert [(one.number, one.name, one.group) for one in reading.entries] == [
        ("007", "Ada Byte", "Chemistry A"), ("008", "Ben Cole", "Chemistry A")]


def test_classes_are_chosen_by_title_or_code():
    data = bad_rosters.MAKE["set_of_two_classes"]()

    assert [one.number for one in read_roster(data, "set.zip", "cb").entries] == ["008"]
    both = read_roster(data, "set.zip", "Chemistry A, CB").entries
    assert [(one.number, one.group) for one in both] == [("007", "Chemistry A"), ("008", "Chemistry A, Chemistry B")]


def test_a_class_that_is_not_there_is_refused_with_those_that_are():
    told = read_roster(bad_rosters.roster_set(), "set.zip", "Physics").problems

    assert "No class with pupils is called Physics; the set has Chemistry A." in str(told[0])


def test_without_identifiers_the_usernames_are_the_numbers():
    users = bad_rosters.USERS.replace("identifier", "username")

    assert [one.number for one in read_roster(bad_rosters.roster_set(users=users), "s.zip").entries] == ["007", "008"]


def test_rows_to_be_deleted_are_left_out():
    users = "sourcedId,status,enabledUser,identifier,givenName,familyName\n" \
            "u1,active,true,1,Ada,Byte\nu2,tobedeleted,true,2,Ben,Cole\n"
    rolls = "classSourcedId,userSourcedId,role,status\nc1,u1,student,active\nc1,u2,student,tobedeleted\n"

    reading = read_roster(bad_rosters.roster_set(users=users, enrollments=rolls), "set.zip")

    assert [one.name for one in reading.entries] == ["Ada Byte"]


def test_needs_are_read_in_the_usual_spellings():
    reading = read_roster(
        b"No,Name,Colour blind,Extra time,Rest breaks,Separate room,Left-handed\n1,Ada,yes,25%,y,x,left\n2,Ben,,,,,right\n")

    ada, ben = reading.entries
    assert (ada.colour_help, ada.extra_time, ada.rest_breaks, ada.separate_room, ada.left_handed) == (
        True, 25, True, True, True)
    assert not any((ben.colour_help, ben.extra_time, ben.rest_breaks, ben.separate_room, ben.left_handed))


def test_a_number_shown_with_a_million_zeros_fills_no_memory():
    book = openpyxl.Workbook()
    book.active.append([7])
    book.active["A1"].number_format = "0" * 10**6

    assert sheets.read(saved(book)).rows == ((1, ["7"]),)
