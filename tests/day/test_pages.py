"""The day's pages through the test client."""

import pytest
from django.urls import reverse

from examkit.day.services import note
from examkit.models import DayNote, Membership, Part, Role, State
from examkit.planning.services import duty_add

pytestmark = pytest.mark.django_db


def url(name, exam, *more):
    return reverse(f"day:{name}", args=[exam.pk, *more])


def test_an_invigilator_finds_the_exam_on_the_first_page(exam, as_user, invigilator):
    page = as_user(invigilator).get(reverse("home")).content.decode()

    assert url("index", exam) in page
    assert "Watch over the sittings" in page


def test_names_and_codes_are_shown_and_no_salt(exam, sitting, sample, as_user, invigilator):
    client = as_user(invigilator)
    pages = [client.get(each).content.decode() for each in (
        url("index", exam), url("room", exam, sitting.pk), url("candidate", exam, sitting.pk, sample.code))]

    assert sample.code in pages[1] and "Person Number 1" in pages[2]
    assert not any(each.salt in page for page in pages for each in exam.samples.all())


@pytest.mark.parametrize("person", ["assistant", "examiner", "moderator"])
def test_those_who_must_not_see_names_are_kept_out(exam, sitting, sample, as_user, cast, person):
    client = as_user(getattr(cast, person))

    assert client.get(url("room", exam, sitting.pk)).status_code == 403
    assert client.get(url("candidate", exam, sitting.pk, sample.code)).status_code == 403


def test_an_invigilator_sees_neither_key_nor_stock_nor_marks(exam, as_user, invigilator):
    client = as_user(invigilator)

    for name in ("stockroom:overview", "printing:marking-key", "printing:bench-plan-assistant", "printing:sample-labels", "marking:index",
                 "moderation:index", "planning:exam", "planning:roster"):
        assert client.get(reverse(name, args=[exam.pk])).status_code == 403, name


def test_a_note_leads_back_to_where_it_was_sent_from(exam, sitting, sample, as_user, invigilator):
    data = {"kind": "present", "code": sample.code, "from": sample.code}
    answer = as_user(invigilator).post(url("note", exam, sitting.pk), data)

    assert answer.url == url("candidate", exam, sitting.pk, sample.code)
    assert DayNote.objects.get().kind == "present"


def test_what_is_refused_is_said(exam, sitting, sample, as_user, invigilator):
    data = {"kind": "left", "code": sample.code}
    page = as_user(invigilator).post(url("note", exam, sitting.pk), data, follow=True).content.decode()

    assert "not noted as present" in page


@pytest.mark.parametrize("data", [
    {"kind": "party"}, {"kind": "time given back", "minutes": "ten"}, {"kind": ""}, {"words": "x" * 600}])
def test_nonsense_is_said_and_nothing_saved(exam, sitting, as_user, invigilator, data):
    answer = as_user(invigilator).post(url("note", exam, sitting.pk), data, follow=True)

    assert answer.status_code == 200
    assert not DayNote.objects.exists()


def test_a_room_that_has_not_changed_is_not_sent_again(exam, sitting, sample, as_user, invigilator):
    client = as_user(invigilator)
    first = client.get(url("benches", exam, sitting.pk))
    assert first.status_code == 200 and "<html" not in first.content.decode()
    stamp = first.context["map"].stamp

    assert client.get(url("benches", exam, sitting.pk), {"stamp": stamp}).status_code == 204
    note(sitting=sitting, sample=sample, kind="present", who=invigilator)
    assert client.get(url("benches", exam, sitting.pk), {"stamp": stamp}).status_code == 200


def test_a_sample_of_another_sitting_is_not_found(exam, sitting, as_user, invigilator, centre):
    from tests.day.conftest import on_the_day

    other = on_the_day(centre, name="Another")
    code = "NOSUCH"
    assert as_user(invigilator).get(url("candidate", exam, sitting.pk, code)).status_code == 404
    assert as_user(invigilator).get(url("room", exam, other.sittings.get().pk)).status_code == 404


def test_colours_are_asked_for_only_where_they_may_be_named(exam, sitting, sample, helped, as_user, invigilator):
    for each in (sample, helped):
        note(sitting=sitting, sample=each, kind="present", who=invigilator)
    client = as_user(invigilator)

    assert "Name a colour" not in client.get(url("candidate", exam, sitting.pk, sample.code)).content.decode()
    assert "Name a colour" in client.get(url("candidate", exam, sitting.pk, helped.code)).content.decode()


def test_what_an_invigilator_writes_is_shown_as_text(exam, sitting, as_user, invigilator):
    note(sitting=sitting, kind="incident", words="<script>alert(1)</script>", who=invigilator)

    assert "<script>alert" not in as_user(invigilator).get(url("room", exam, sitting.pk)).content.decode()


def test_an_examiner_reads_absence_and_colours_and_nothing_of_what_befell_anyone(
        exam, sitting, sample, helped, as_user, cast):
    note(sitting=sitting, sample=sample, kind="absent", who=cast.invigilator)
    note(sitting=sitting, sample=helped, kind="present", who=cast.invigilator)
    note(sitting=sitting, sample=helped, kind="colour named", words="green", test="flame", who=cast.invigilator)
    note(sitting=sitting, sample=helped, kind="incident", words="Person Number 2 fainted", who=cast.invigilator)
    exam.state = "sat"
    exam.save()
    client = as_user(cast.examiner)
    pages = [client.get(reverse("marking:record", args=[exam.pk, each.code])).content.decode()
             for each in (sample, helped)]

    assert "noted this candidate as absent" in pages[0]
    assert "Flame: green" in pages[1]
    assert not any("Person Number" in page or "fainted" in page for page in pages)


def day_pages(client, exam, sitting, sample):
    return [client.get(url(*each)).content.decode() for each in (
        ("room", exam, sitting.pk), ("benches", exam, sitting.pk), ("candidate", exam, sitting.pk, sample.code))]


def marks_too(exam, person, teacher):
    """A person of the day who also has the role and the part of an examiner."""
    Membership.objects.create(centre=exam.centre, user=person, role=Role.EXAMINER)
    duty_add(exam=exam, who=teacher, user=person, part=Part.EXAMINES)


def test_who_marks_the_exam_finds_no_name_or_number_on_its_day(
        exam, sitting, sample, as_user, invigilator, teacher):
    client = as_user(invigilator)
    before = day_pages(client, exam, sitting, sample)
    marks_too(exam, invigilator, teacher)
    pages = day_pages(client, exam, sitting, sample)

    assert all("4001" in page for page in before) and "Person Number 1" in before[2]
    assert not any("4001" in page or "Person Number 1" in page for page in pages)
    assert all(sample.code in page for page in pages)


def test_names_are_shown_to_who_marks_another_exam_and_to_all_after_release(
        exam, sitting, sample, as_user, invigilator, teacher):
    Membership.objects.create(centre=exam.centre, user=invigilator, role=Role.EXAMINER)
    client = as_user(invigilator)
    assert "Person Number 1" in day_pages(client, exam, sitting, sample)[2]
    duty_add(exam=exam, who=teacher, user=invigilator, part=Part.EXAMINES)
    type(exam).objects.filter(pk=exam.pk).update(state=State.RELEASED)

    assert "Person Number 1" in day_pages(client, exam, sitting, sample)[2]


def test_a_teacher_who_marks_sees_the_names_and_the_page_of_people_says_so(
        exam, sitting, sample, as_user, invigilator, teacher):
    client, people = as_user(teacher), reverse("planning:staff", args=[exam.pk])
    assert "To mark blind" not in client.get(people).content.decode()
    marks_too(exam, teacher, teacher)
    marks_too(exam, invigilator, teacher)
    page = client.get(people).content.decode()

    assert "Person Number 1" in day_pages(client, exam, sitting, sample)[2]
    assert f"{teacher} marks this exam and is a teacher here" in page
    assert f"{invigilator} marks this exam and is an invigilator here" in page


def test_who_marks_the_exam_cannot_print_whose_a_code_is_either(exam, as_user, invigilator, teacher):
    client, overview = as_user(invigilator), reverse("printing:overview", args=[exam.pk])
    assert "bench-plan-invigilator" in client.get(overview).content.decode()
    marks_too(exam, invigilator, teacher)

    page = client.get(reverse("printing:bench-plan-invigilator", args=[exam.pk]), follow=True).content.decode()
    assert "You mark this exam" in page
    assert "bench-plan-invigilator" not in client.get(overview).content.decode()
