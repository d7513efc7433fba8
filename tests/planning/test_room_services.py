"""Rooms, benches and sittings."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from examkit.errors import Refused
from examkit.models import AuditEntry, Bench, Room, State
from examkit.planning import services
from examkit.planning.grid import BENCH, CLOSED, row_letters
from examkit.planning.selectors.draw import capacity, seating
from examkit.planning.selectors.rooms import grid_of, rooms_of, sittings_of
from tests.planning import exams

pytestmark = pytest.mark.django_db


def test_a_room_of_five_by_four_has_twenty_open_benches_from_a1_to_e4(cast):
    room = exams.room(cast)

    labels = [[place.label for place in row] for row in grid_of(room)]

    assert (labels[0][0], labels[4][3]) == ("A1", "E4")
    assert sum(map(len, labels)) == 20 and all(bench.open for bench in room.benches.all())


def test_rows_beyond_z_have_two_letters():
    assert [row_letters(row) for row in (0, 25, 26, 51, 52)] == ["A", "Z", "AA", "AZ", "BA"]


def test_a_bench_is_closed_and_opened_and_both_stand_in_the_trail(cast):
    place = {"room": exams.room(cast), "who": cast.teacher, "row": 1, "column": 1}

    services.room_place(**place, what=CLOSED)
    assert not Bench.objects.get(label="B2").open
    assert rooms_of(cast.centre)[0].open_places == 19
    services.room_place(**place, what=BENCH)

    assert Bench.objects.get(label="B2").open
    told = list(AuditEntry.objects.filter(about="Laboratory 1 B2").values_list("what", "detail__now"))
    assert told == [("room changed", CLOSED), ("room changed", BENCH)]


@pytest.mark.parametrize("size", [(0, 4), (5, 0), (41, 4), (4, 41)])
def test_a_room_without_benches_or_with_too_many_is_refused(cast, size):
    with pytest.raises(Refused, match="1 to 40 rows"):
        exams.room(cast, *size)


def test_two_rooms_of_one_centre_never_share_a_name(cast):
    exams.room(cast)

    with pytest.raises(Refused, match="'Laboratory 1' already"):
        exams.room(cast)


def test_a_room_that_a_sitting_uses_is_not_deleted(cast):
    exams.planned(cast)

    with pytest.raises(Refused, match="is used by sittings"):
        services.room_delete(room=Room.objects.get(), who=cast.teacher, reason="not ours")

    assert Room.objects.exists()


def test_an_unused_room_is_deleted_with_its_benches(cast):
    services.room_delete(room=exams.room(cast), who=cast.teacher, reason="not ours")

    assert not Bench.objects.exists()
    assert AuditEntry.objects.last().what == "room deleted"


def test_a_sitting_counts_the_open_benches_of_its_room(cast):
    exam = exams.planned(cast)
    services.room_place(room=Room.objects.get(), who=cast.teacher, row=0, column=0, what=CLOSED)

    assert [sitting.open_places for sitting in sittings_of(exam)] == [19, 19]


def test_a_sitting_in_another_centres_room_is_refused(cast):
    strange = services.room_create(centre=cast.elsewhere, who=cast.stranger, name="Far lab", rows=2, columns=2)

    with pytest.raises(Refused, match="belongs to another centre"):
        services.sitting_add(exam=exams.draft(cast), who=cast.teacher, room=strange, name="x")


def test_two_sittings_of_one_exam_never_share_a_name(cast):
    exam = exams.planned(cast)
    morning, afternoon = exam.sittings.all()

    with pytest.raises(Refused, match="'morning' already"):
        services.sitting_add(exam=exam, who=cast.teacher, room=morning.room, name="morning")
    with pytest.raises(Refused, match="'morning' already"):
        services.sitting_change(sitting=afternoon, who=cast.teacher, room=morning.room, name="morning")


def test_a_sitting_is_changed_and_deleted(cast):
    exam = exams.planned(cast)
    sitting = exam.sittings.first()

    services.sitting_change(sitting=sitting, who=cast.teacher, room=sitting.room, name="early")
    assert AuditEntry.objects.last().detail["before"]["name"] == "morning"
    services.sitting_delete(sitting=exam.sittings.get(name="early"), who=cast.teacher, reason="too early")

    assert [sitting.name for sitting in exam.sittings.all()] == ["afternoon"]


def test_a_drawn_exam_counts_the_benches_of_its_plan_whatever_becomes_of_the_room(cast, client):
    exam = exams.drawn(cast, candidates=36)
    room = exam.sittings.first().room
    used = [set(sitting.samples.values_list("bench", flat=True)) for sitting in exam.sittings.all()]
    taken = list(room.benches.filter(pk__in=used[0] & used[1])[:2])
    for bench in taken:
        services.room_place(room=room, who=cast.teacher, row=bench.row, column=bench.column, what="closed bench")

    assert capacity(exam) == 40 and [sitting.open_places for sitting in sittings_of(exam)] == [20, 20]
    assert all(cell.bench.open for table in seating(exam) for _label, cells in table.rows for cell in cells)
    services.bench_broken(exam=exam, who=cast.teacher, reason="no gas", sitting=exam.sittings.first(),
                          bench=taken[0])
    exam.refresh_from_db()
    assert capacity(exam) == 39 and sorted(sitting.open_places for sitting in sittings_of(exam)) == [19, 20]
    client.force_login(cast.teacher)
    assert "40 open benches" not in client.get(reverse("planning:exam", args=[exam.pk])).content.decode()


def test_a_sitting_ends_after_its_length_which_the_next_one_has_too(cast):
    exam, room = exams.draft(cast), exams.room(cast)
    given = {"exam": exam, "who": cast.teacher, "room": room}
    first = services.sitting_add(**given, name="morning", starts_at=datetime(2027, 6, 1, 9, tzinfo=UTC))
    assert first.ends_at == datetime(2027, 6, 1, 12, tzinfo=UTC)

    services.sitting_change(sitting=first, who=cast.teacher, room=room, name="morning", minutes=150,
                            starts_at=first.starts_at)
    second = services.sitting_add(**given, name="afternoon")

    assert (second.minutes, second.ends_at) == (150, None)
    assert first.end_for(25, 8) == datetime(2027, 6, 1, 9, tzinfo=UTC) + timedelta(minutes=150 * 1.25 + 8)
    for minutes in (-5, 2000):
        with pytest.raises(Refused, match="1 to 1440 minutes"):
            services.sitting_add(**given, name="evening", minutes=minutes)


def test_the_length_can_be_set_after_the_draw_with_a_reason_and_until_the_exam_is_sat(cast, client):
    exam = exams.drawn(cast, candidates=36)
    sitting = exam.sittings.get(name="morning")
    client.force_login(cast.teacher)
    address = reverse("planning:sitting", args=[exam.pk, sitting.pk])

    assert client.post(address, {"minutes": "120"}).status_code == 200 and sitting.minutes == 180
    client.post(address, {"minutes": "120", "reason": "as the syllabus says"})
    sitting.refresh_from_db()
    assert sitting.minutes == 120
    assert AuditEntry.objects.last().detail == {"before": 180, "after": 120, "reason": "as the syllabus says"}
    exam.state = State.SAT
    exam.save()
    with pytest.raises(Refused, match="its sittings are over"):
        services.sitting_length(sitting=sitting, who=cast.teacher, minutes=90, reason="too late by now")


def test_a_room_says_which_exams_keep_their_own_benches(cast, client):
    exam = exams.drawn(cast, candidates=36)
    room = exam.sittings.first().room
    client.force_login(cast.teacher)

    shown = client.get(reverse("planning:room", args=[room.pk])).content.decode()
    assert "keeps the benches that it was sealed with" in shown and reverse("planning:changes", args=[exam.pk]) in shown

    exam.state = State.SAT
    exam.save()
    assert "sealed with" not in client.get(reverse("planning:room", args=[room.pk])).content.decode()
