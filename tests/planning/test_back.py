"""What was done to a class list is undone, deleted rooms and sittings come back; each with a reason, once."""

import json
from datetime import UTC, datetime

import pytest
from django.urls import reverse

from examkit.audit import verify
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import AuditEntry, ListAct, Part, State
from examkit.planning import services
from examkit.planning.grid import CLOSED, LEFT, SINK
from examkit.planning.roster import Entry
from examkit.planning.selectors.gone import acts_on_list, gone_rooms, gone_sittings
from examkit.planning.selectors.roster import FIELDS
from grading.models import Record
from tests.planning import exams

pytestmark = [pytest.mark.database, pytest.mark.django_db]
WHY = "taken from the wrong file"


def listed(exam):
    return {one.number: [getattr(one, name) for name in FIELDS] for one in exam.candidates.all()}


def brought_in(cast, exam, *entries):
    services.roster_import(exam=exam, who=cast.teacher, entries=entries)


def undo_last(cast, exam, reason=WHY):
    number = acts_on_list(exam)[0].entry.sequence
    services.list_act_undo(exam=exam, who=cast.teacher, number=number, reason=reason)


@pytest.fixture
def exam(cast):
    """A draft with three candidates, one of them with needs."""
    exam = exams.draft(cast)
    brought_in(cast, exam, Entry("1", "Ada", "12B", "morning", "A1", True, 25), Entry("2", "Ben"), Entry("3", "Chi"))
    return exam


def test_an_import_is_undone_whole(cast, exam):
    before = listed(exam)
    brought_in(cast, exam, Entry("1", "Someone else"), Entry("3", "Chi"), Entry("4", "Dia"), Entry("5", "Eli"))
    undo_last(cast, exam)

    assert listed(exam) == before
    detail = AuditEntry.objects.last().detail
    assert (detail["off the list"], detail["as before"], detail["reason"]) == (2, 1, WHY)
    assert verify(cast.centre) == []


def test_all_acts_on_a_list_are_undone_in_turn(cast, exam):
    stages = [{}, listed(exam)]
    ada = exam.candidates.get(number="1")
    services.candidate_save(exam=exam, who=cast.teacher, candidate=ada, number="10", name="Ada B.")
    stages.append(listed(exam))
    services.candidate_save(exam=exam, who=cast.teacher, number="1", name="New")
    stages.append(listed(exam))
    services.candidate_delete(candidate=exam.candidates.get(number="2"), who=cast.teacher, reason="left school")

    for stage in reversed(stages):
        undo_last(cast, exam)
        assert listed(exam) == stage
    assert acts_on_list(exam) == [] and not ListAct.objects.exists()


def test_who_was_changed_since_an_import_is_named_and_nothing_is_undone(cast, exam):
    number = acts_on_list(exam)[0].entry.sequence
    services.candidate_save(exam=exam, who=cast.teacher, candidate=exam.candidates.get(number="2"),
                            number="2", name="Benjamin")
    before = listed(exam)

    with pytest.raises(Refused, match="Changed again since: 2"):
        services.list_act_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)
    assert listed(exam) == before


def test_a_number_that_went_to_another_is_not_taken_from_them(cast, exam):
    services.candidate_save(exam=exam, who=cast.teacher, candidate=exam.candidates.get(number="2"),
                            number="20", name="Ben")
    number = acts_on_list(exam)[0].entry.sequence
    services.candidate_save(exam=exam, who=cast.teacher, number="2", name="New")

    with pytest.raises(Refused, match="has this number now: 2"):
        services.list_act_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)


def test_candidates_with_samples_are_named_when_an_import_is_to_be_undone(cast):
    exam = exams.drawn(cast, candidates=24)

    with pytest.raises(Refused, match=r"drawn for candidates 001, 002, .*, 020 and 4 more\. Undo the draw first"):
        undo_last(cast, exam)
    assert exam.candidates.count() == 24


def test_candidates_with_records_are_named_too(cast):
    exam = exams.drawn(cast, candidates=4)
    Record.objects.create(sample=exam.samples.get(candidate__number="003"))

    with pytest.raises(Refused, match=r"drawn for candidates 001, 002, 003, 004\. Records were entered for 003\."):
        undo_last(cast, exam)


def test_a_sealed_list_is_not_undone(cast):
    exam = exams.planned(cast, candidates=4)
    services.draw_seal(exam=exam, who=cast.teacher)

    with pytest.raises(Refused, match="is sealed"):
        undo_last(cast, exam)


def test_an_act_on_a_list_is_undone_once_and_only_in_its_exam(cast, exam):
    other = exams.draft(cast, name="Another")
    number = acts_on_list(exam)[0].entry.sequence

    with pytest.raises(Refused, match="can be brought back or undone"):
        services.list_act_undo(exam=other, who=cast.teacher, number=number, reason=WHY)
    undo_last(cast, exam)
    with pytest.raises(ChangedMeanwhile, match="already"):
        services.list_act_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)


def test_an_import_that_changes_nothing_leaves_nothing_to_undo(cast, exam):
    brought_in(cast, exam, Entry("2", "Ben"))

    assert len(acts_on_list(exam)) == 1


def test_no_name_and_no_need_gets_into_the_trail(cast, exam):
    services.candidate_delete(candidate=exam.candidates.get(number="1"), who=cast.teacher, reason="left school")
    undo_last(cast, exam)

    told = json.dumps(list(AuditEntry.objects.values_list("about", "detail")))
    assert not any(word in told for word in ("Ada", "Ben", "Chi", "needs_colour_help", "25"))


def test_what_the_list_was_goes_when_the_exam_is_sat_or_deleted(cast, exam, monkeypatch):
    other = exams.draft(cast, name="Another")
    brought_in(cast, other, Entry("1", "Ada"))
    services.exam_delete(exam=other, who=cast.teacher, reason="made twice")
    assert [act.exam for act in ListAct.objects.all()] == [exam]

    type(exam).objects.filter(pk=exam.pk).update(state=State.PREPARED)
    monkeypatch.setattr("examkit.planning.services.exams.still_missing", lambda exam: [])
    services.exam_move(exam=exam, to=State.SAT, who=cast.teacher)
    assert not ListAct.objects.exists()


def test_a_deleted_room_comes_back_as_it_was_laid_out(cast):
    room = exams.room(cast, rows=2, columns=3)
    for column, what in enumerate((CLOSED, LEFT, SINK)):
        services.room_place(room=room, who=cast.teacher, row=0, column=column, what=what)
    services.room_separate(room=cast.centre.rooms.get(), who=cast.teacher, separate=True)
    room = cast.centre.rooms.get()
    stood = laid_out(room)
    services.room_delete(room=room, who=cast.teacher, reason=WHY)
    (row,) = gone_rooms(cast.centre)
    again = services.room_back(centre=cast.centre, who=cast.teacher, number=row.entry.sequence, reason=WHY)
    again.refresh_from_db()

    assert laid_out(again) == stood
    assert gone_rooms(cast.centre) == []


def laid_out(room):
    benches = room.benches.values_list("row", "column", "label", "open", "left_handed")
    return (room.name, room.rows, room.columns, room.fixtures, room.separate, list(benches))


def test_a_room_of_another_centre_is_not_brought_back(cast):
    services.room_delete(room=exams.room(cast), who=cast.teacher, reason=WHY)
    number = gone_rooms(cast.centre)[0].entry.sequence

    with pytest.raises(Refused, match="can be brought back"):
        services.room_back(centre=cast.elsewhere, who=cast.stranger, number=number, reason=WHY)


def test_a_room_does_not_come_back_beside_one_of_its_name(cast):
    services.room_delete(room=exams.room(cast), who=cast.teacher, reason=WHY)
    number = gone_rooms(cast.centre)[0].entry.sequence
    exams.room(cast)

    with pytest.raises(Refused, match="'Laboratory 1' already"):
        services.room_back(centre=cast.centre, who=cast.teacher, number=number, reason=WHY)


def test_a_deleted_sitting_comes_back_in_its_room_at_its_time(cast):
    exam = exams.draft(cast)
    sitting = services.sitting_add(exam=exam, who=cast.teacher, room=exams.room(cast), name="morning",
                                   starts_at=datetime(2026, 6, 1, 9, 30, tzinfo=UTC))
    services.sitting_delete(sitting=sitting, who=cast.teacher, reason=WHY)
    number = gone_sittings(exam)[0].entry.sequence
    services.sitting_back(exam=exam, who=cast.teacher, number=number, reason=WHY)

    again = exam.sittings.get()
    assert (again.name, again.room.name, again.starts_at) == (
        "morning", "Laboratory 1", datetime(2026, 6, 1, 9, 30, tzinfo=UTC))
    assert gone_sittings(exam) == []


def test_a_sitting_comes_back_after_its_room(cast):
    exam, room = exams.draft(cast), exams.room(cast)
    sitting = services.sitting_add(exam=exam, who=cast.teacher, room=room, name="morning")
    services.sitting_delete(sitting=sitting, who=cast.teacher, reason=WHY)
    services.room_delete(room=room, who=cast.teacher, reason=WHY)
    given = {"exam": exam, "who": cast.teacher, "number": gone_sittings(exam)[0].entry.sequence, "reason": WHY}

    with pytest.raises(Refused, match="Bring the room back first"):
        services.sitting_back(**given)
    services.room_back(centre=cast.centre, who=cast.teacher, number=gone_rooms(cast.centre)[0].entry.sequence,
                       reason=WHY)
    assert services.sitting_back(**given).room.name == "Laboratory 1"


def test_nothing_goes_and_nothing_comes_back_without_a_reason(cast):
    exam, spare = exams.planned(cast, candidates=4), exams.room(cast, name="Spare")
    duty = services.duty_add(exam=exam, who=cast.teacher, user=cast.teacher, part=Part.LEAD)
    acts = (
        lambda: services.candidate_delete(candidate=exam.candidates.first(), who=cast.teacher, reason=" "),
        lambda: services.sitting_delete(sitting=exam.sittings.first(), who=cast.teacher, reason=" "),
        lambda: services.room_delete(room=spare, who=cast.teacher, reason=" "),
        lambda: services.duty_remove(duty=duty, who=cast.teacher, reason=" "),
        lambda: undo_last(cast, exam, reason=" "),
        lambda: services.room_back(centre=cast.centre, who=cast.teacher, number=1, reason=" "),
        lambda: services.sitting_back(exam=exam, who=cast.teacher, number=1, reason=" "),
    )
    before = AuditEntry.objects.count()
    for act in acts:
        with pytest.raises(Refused, match="Give a reason"):
            act()
    assert AuditEntry.objects.count() == before
    assert exam.candidates.count() == 4 and exam.sittings.count() == 2 and exam.duties.exists()


def test_the_pages_undo_with_a_reason(cast, exam, as_user):
    page = as_user(cast.teacher)
    roster = reverse("planning:roster", args=[exam.pk])
    undo = reverse("planning:list-undo", args=[exam.pk, acts_on_list(exam)[0].entry.sequence])
    assert undo in page.get(roster).content.decode()
    assert "Give a reason" in page.post(undo, {"reason": ""}, follow=True).content.decode()
    page.post(undo, {"reason": WHY})
    assert not exam.candidates.exists() and undo not in page.get(roster).content.decode()

    room = exams.room(cast)
    sitting = services.sitting_add(exam=exam, who=cast.teacher, room=room, name="morning")
    for kind, args, address in (("sitting", [exam.pk, sitting.pk], reverse("planning:sittings", args=[exam.pk])),
                                ("room", [room.pk], reverse("planning:rooms"))):
        gone = page.post(reverse(f"planning:{kind}-delete", args=args), {"reason": WHY}, follow=True)
        (row,) = gone.context["gone"]
        assert row.url in page.get(address).content.decode()
    page.post(reverse("planning:room-back", args=[gone_rooms(cast.centre)[0].entry.sequence]), {"reason": WHY})
    page.post(reverse("planning:sitting-back", args=[exam.pk, gone_sittings(exam)[0].entry.sequence]), {"reason": WHY})
    assert exam.sittings.get().room.name == "Laboratory 1"
