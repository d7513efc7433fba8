"""What was set in an exam or a room is set back as before: with a reason, once, where nobody set it anew."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from examkit.audit import verify
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import AuditEntry, Part
from examkit.planning import services
from examkit.planning.grid import CLOSED, LEFT, SINK
from examkit.planning.rules import Rules
from examkit.planning.selectors.gone import room_changes, what_was_set
from examkit.planning.selectors.rooms import grid_of
from tests.planning import exams

pytestmark = [pytest.mark.database, pytest.mark.django_db]
WHY = "set for the wrong class"
SALTS = ["NiCl2.6H2O", "CuSO4.5H2O", "NH4Cl"]


def undo(cast, exam, reason=WHY):
    services.setting_undo(exam=exam, who=cast.teacher, number=what_was_set(exam)[0].entry.sequence, reason=reason)
    exam.refresh_from_db()


def state_of(exam):
    exam.refresh_from_db()
    sittings = list(exam.sittings.values_list("name", "room__name", "starts_at"))
    return (exam.name, exam.held_on, exam.sample_mg, exam.rules, set(exam.pool.values_list("formula", flat=True)),
            sittings, set(exam.duties.values_list("user__username", "part")))


@pytest.fixture
def exam(cast):
    """A draft with a sitting, a pool, and somebody who leads it."""
    exam = exams.draft(cast)
    services.exam_change(exam=exam, who=cast.teacher, held_on=date(2026, 6, 1))
    services.sitting_add(exam=exam, who=cast.teacher, room=exams.room(cast), name="morning",
                         starts_at=datetime(2026, 6, 1, 9, 30, tzinfo=UTC))
    services.pool_set(exam=exam, who=cast.teacher, formulas=SALTS)
    services.duty_add(exam=exam, who=cast.teacher, user=cast.teacher, part=Part.LEAD)
    return exam


def acts(cast, exam):
    """Every act that sets something, as (name, the act)."""
    return {
        "particulars": lambda: services.exam_change(exam=exam, who=cast.teacher, name="Another name",
                                                    held_on=date(2027, 1, 2), sample_mg=900),
        "no day": lambda: services.exam_change(exam=exam, who=cast.teacher, held_on=None),
        "rules": lambda: services.rules_set(exam=exam, who=cast.teacher,
                                            rules=Rules(sinks=False, apart=(tuple(SALTS[:2]),))),
        "pool": lambda: services.pool_set(exam=exam, who=cast.teacher, formulas=[*SALTS[1:], "KBr"]),
        "sitting": lambda: services.sitting_change(
            sitting=exam.sittings.get(), who=cast.teacher, room=exams.room(cast, name="Other"), name="later"),
        "given": lambda: services.duty_add(exam=exam, who=cast.teacher, user=cast.assistant, part=Part.PREPARES),
        "taken": lambda: services.duty_remove(duty=exam.duties.get(), who=cast.teacher, reason="ill that day"),
    }


@pytest.mark.parametrize("name", ["particulars", "no day", "rules", "pool", "sitting", "given", "taken"])
def test_what_was_set_is_set_back_once_with_a_reason(cast, exam, name):
    before = state_of(exam)
    acts(cast, exam)[name]()
    number = what_was_set(exam)[0].entry.sequence
    assert state_of(exam) != before
    with pytest.raises(Refused, match="Give a reason"):
        undo(cast, exam, reason=" ")
    undo(cast, exam)

    assert state_of(exam) == before
    assert AuditEntry.objects.last().detail["reason"] == WHY and verify(cast.centre) == []
    with pytest.raises(ChangedMeanwhile, match="already"):
        services.setting_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)


@pytest.mark.parametrize("name", ["particulars", "rules", "pool", "sitting"])
def test_what_was_set_anew_since_stays(cast, exam, name):
    acts(cast, exam)[name]()
    number = what_was_set(exam)[0].entry.sequence
    exam.refresh_from_db()
    {"particulars": lambda: services.exam_change(exam=exam, who=cast.teacher, sample_mg=700),
     "rules": lambda: services.rules_set(exam=exam, who=cast.teacher, rules=Rules(close_minutes=10)),
     "pool": lambda: services.pool_set(exam=exam, who=cast.teacher, formulas=SALTS[1:]),
     "sitting": lambda: services.sitting_delete(sitting=exam.sittings.get(), who=cast.teacher, reason=WHY)}[name]()
    before = state_of(exam)

    with pytest.raises(Refused, match="set anew since|is deleted"):
        services.setting_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)
    assert state_of(exam) == before


def test_a_part_that_was_taken_again_is_not_taken_twice(cast, exam):
    acts(cast, exam)["given"]()
    number = what_was_set(exam)[0].entry.sequence
    services.duty_remove(duty=exam.duties.get(user=cast.assistant), who=cast.teacher, reason="ill that day")

    with pytest.raises(Refused, match="set anew since"):
        services.setting_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)


def test_nothing_of_a_sealed_exam_is_set_back(cast):
    exam = exams.planned(cast, candidates=4)
    number = what_was_set(exam)[0].entry.sequence
    services.draw_seal(exam=exam, who=cast.teacher)
    exam.refresh_from_db()

    assert what_was_set(exam) == []
    with pytest.raises(Refused, match="is sealed"):
        services.setting_undo(exam=exam, who=cast.teacher, number=number, reason=WHY)


def test_what_was_set_in_another_exam_is_not_undone_here(cast, exam):
    other = exams.draft(cast, name="Another")

    with pytest.raises(Refused, match="can be brought back or undone"):
        services.setting_undo(exam=other, who=cast.teacher, number=what_was_set(exam)[0].entry.sequence, reason=WHY)


def test_places_of_a_room_are_set_back_in_turn(cast):
    room = exams.room(cast, rows=2, columns=2)
    stages = [grid_of(room)]
    for what in (CLOSED, LEFT, SINK):
        services.room_place(room=room, who=cast.teacher, row=0, column=1, what=what)
        room.refresh_from_db()
        stages.append(grid_of(room))
    for stage in reversed(stages[:-1]):
        last = room_changes(room)[0]
        services.place_undo(room=room, who=cast.teacher, number=last.entry.sequence, reason=WHY)
        room.refresh_from_db()
        assert grid_of(room) == stage
    assert room_changes(room) == []


def test_a_place_that_was_changed_again_stays(cast):
    room = exams.room(cast, rows=2, columns=2)
    services.room_place(room=room, who=cast.teacher, row=0, column=1, what=CLOSED)
    number = room_changes(room)[0].entry.sequence
    services.room_place(room=room, who=cast.teacher, row=0, column=1, what=SINK)
    room.refresh_from_db()

    with pytest.raises(Refused, match="set anew since"):
        services.place_undo(room=room, who=cast.teacher, number=number, reason=WHY)


def test_a_room_that_was_kept_apart_is_opened_again(cast):
    room = exams.room(cast)
    services.room_separate(room=room, who=cast.teacher, separate=True)
    services.place_undo(room=room, who=cast.teacher, number=room_changes(room)[0].entry.sequence, reason=WHY)

    room.refresh_from_db()
    assert not room.separate


def test_the_pages_offer_it(cast, exam, as_user):
    page = as_user(cast.teacher)
    acts(cast, exam)["particulars"]()
    (row, *_rest) = what_was_set(exam)
    assert row.url in page.get(reverse("planning:exam", args=[exam.pk])).content.decode()
    said = page.post(row.url, {"reason": WHY}, follow=True).content.decode()
    assert "It is as it was before." in said and row.url not in said

    room = exam.sittings.get().room
    services.room_place(room=room, who=cast.teacher, row=0, column=0, what=CLOSED)
    (row,) = room_changes(room)
    assert row.url in page.get(reverse("planning:room", args=[room.pk])).content.decode()
    assert "as it was before" in page.post(row.url, {"reason": WHY}, follow=True).content.decode()
