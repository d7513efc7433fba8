"""The exam builder: rooms as grids, the rules of the draw, people, and an exam like an earlier one."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from examkit.errors import Refused
from examkit.models import AuditEntry, Exam, Membership, Part, Role, User
from examkit.planning import services
from examkit.planning.rules import Rules
from examkit.planning.selectors import plan_of
from examkit.planning.selectors.rooms import counted, grid_of
from tests.planning import exams

pytestmark = pytest.mark.django_db


def put(cast, room, place, what):
    row, column = place
    return services.room_place(room=room, who=cast.teacher, row=row, column=column, what=what)


# Rooms

def test_an_aisle_takes_the_benches_away_and_parts_the_neighbours(cast):
    exam = exams.planned(cast, candidates=10)
    room = exam.sittings.first().room
    for row in range(5):
        put(cast, room, (row, 1), "aisle")

    hall = plan_of(exam).halls[0]

    assert len(hall.benches) == 15
    assert not [pair for pair in hall.neighbours() if {bench.column for bench in pair} == {0, 2}]


def test_benches_at_a_sink_are_neighbours_across_it(cast):
    exam = exams.planned(cast, candidates=10)
    room = exam.sittings.first().room
    put(cast, room, (2, 1), "sink")

    assert plan_of(exam).halls[0].links == (("B2", "C1", "C3", "D2"),)
    room.refresh_from_db()
    assert counted(room)["sinks"] == 1
    services.rules_set(exam=exam, who=cast.teacher, rules=Rules(sinks=False))
    exam.refresh_from_db()
    assert plan_of(exam).halls[0].links == ()


def test_every_kind_of_place_is_shown_and_can_be_changed_back(cast):
    room = exams.room(cast, rows=1, columns=6)
    kinds = ["bench", "left-handed bench", "closed bench", "sink", "fume cupboard", "aisle"]
    for column, what in enumerate(kinds):
        put(cast, room, (0, column), what)
    room.refresh_from_db()

    assert [place.what for place in grid_of(room)[0]] == kinds
    for column in range(6):
        put(cast, room, (0, column), "bench")
    room.refresh_from_db()
    assert [place.what for place in grid_of(room)[0]] == ["bench"] * 6 and room.fixtures == []
    assert AuditEntry.objects.filter(what="room changed").count() == 12


@pytest.mark.parametrize(("place", "what"), [((9, 0), "bench"), ((0, -1), "bench"), ((0, 0), "piano")])
def test_a_place_that_is_not_in_the_room_is_refused(cast, place, what):
    with pytest.raises(Refused, match="no such place"):
        put(cast, exams.room(cast), place, what)


def test_a_bench_with_samples_is_not_taken_away(cast):
    exam = exams.drawn(cast)
    bench = exam.samples.first().bench

    with pytest.raises(Refused, match="has samples of an exam. Close it instead."):
        put(cast, bench.room, (bench.row, bench.column), "sink")

    assert bench.room.benches.filter(pk=bench.pk).exists() and bench.room.fixtures == []


def test_a_room_kept_apart_is_for_those_who_need_it(cast):
    exam = exams.planned(cast, candidates=10)
    services.room_separate(room=exam.sittings.first().room, who=cast.teacher, separate=True)
    exam.candidates.filter(number="001").update(separate_room=True)

    plan = plan_of(exam)

    assert all(hall.separate for hall in plan.halls)
    assert [one.number for one in plan.entrants if one.separate] == ["001"]


def test_the_page_of_a_room_puts_what_is_chosen_where_one_clicks(cast, client):
    client.force_login(cast.teacher)
    room = exams.room(cast)

    page = client.post(reverse("planning:room-place", args=[room.pk]), {"tool": "sink", "place": "1,1"}, follow=True)

    room.refresh_from_db()
    assert room.fixtures == [[1, 1, "sink"]]
    assert page.context["tool"] == "sink"
    assert client.post(reverse("planning:room-place", args=[room.pk]), {"place": "x"}, follow=True).status_code == 200


# Rules

def test_sittings_of_one_room_within_the_time_are_close(cast):
    exam = exams.planned(cast, candidates=10)
    for name, hour in (("morning", 9), ("afternoon", 12)):
        exam.sittings.filter(name=name).update(starts_at=datetime(2027, 6, 1, hour, tzinfo=UTC))

    assert plan_of(exam).close == (("morning", "afternoon"),)
    services.rules_set(exam=exam, who=cast.teacher, rules=Rules(close_minutes=120))
    exam.refresh_from_db()
    assert plan_of(exam).close == ()


def test_a_salt_that_a_candidate_had_before_is_never_for_them(cast):
    earlier = exams.drawn(cast, candidates=20)
    had = earlier.samples.get(candidate__number="001").salt
    exam = exams.draft(cast, name="the next")
    services.roster_import(exam=exam, who=cast.teacher, entries=[*exams.entries(2)])
    exam.candidates.filter(number="002").update(name="Somebody else")
    services.pool_set(exam=exam, who=cast.teacher, formulas=exams.SALTS)

    never = {one.number: one.never for one in plan_of(exam).entrants}

    assert never == {"001": (had,), "002": ()}
    services.rules_set(exam=exam, who=cast.teacher, rules=Rules(met_before=False))
    exam.refresh_from_db()
    assert not any(one.never for one in plan_of(exam).entrants)


def test_within_the_stock_each_salt_has_its_limit(cast):
    exam = exams.planned(cast, candidates=10)
    cast.centre.shelf.create(substance="KI", amount=5400)  # 1.5 g and 20 % each: three samples
    services.rules_set(exam=exam, who=cast.teacher, rules=Rules(within_stock=True))
    exam.refresh_from_db()

    most = {choice.salt: choice.most for choice in plan_of(exam).pool}

    assert most["KI"] == 3 and most["NH4Cl"] == 0


def test_salts_kept_apart_must_be_in_the_pool(cast):
    with pytest.raises(Refused, match="not in the pool: AgNO3"):
        services.rules_set(exam=exams.planned(cast), who=cast.teacher, rules=Rules(apart=(("KI", "AgNO3"),)))


def test_the_rules_page_sets_them_and_refuses_salts_that_are_not_in_the_pool(cast, client):
    exam = exams.planned(cast)
    client.force_login(cast.teacher)
    sent = {"colour": "avoided", "close_minutes": "90", "sinks": "on", "apart": "KI, NH4Cl\nBaCl2·2H2O, AgNO3"}
    address = reverse("planning:rules", args=[exam.pk])

    assert b"Not in the pool: AgNO3" in client.post(address, sent).content
    client.post(address, sent | {"apart": "KI, NH₄Cl"})

    exam.refresh_from_db()
    assert Rules.from_json(exam.rules) == Rules(
        colour="avoided", met_before=False, close_minutes=90, apart=(("KI", "NH4Cl"),))
    assert AuditEntry.objects.last().what == "rules of the draw set"


# Changes after the draw, through the page

def test_the_page_after_the_draw_adds_a_late_candidate_and_takes_it_back(cast, client):
    exam = exams.drawn(cast, candidates=36)
    client.force_login(cast.teacher)
    sent = {"late-number": "900", "late-name": "Late", "late-extra_time_percent": "0", "late-reason": "late entry"}

    page = client.post(reverse("planning:change", args=[exam.pk, "late"]), sent, follow=True)
    assert ">Late candidate</th>" in page.content.decode() and exam.samples.count() == 37
    client.post(reverse("planning:change-undo", args=[exam.pk]), {"reason": "did not come"})

    assert exam.samples.count() == 36


def test_the_page_after_the_draw_moves_a_candidate_and_brings_a_bench_into_use(cast, client):
    exam = exams.planned(cast)
    morning = exam.sittings.get(name="morning")
    services.room_place(room=morning.room, who=cast.teacher, row=4, column=3, what="closed bench")
    exam.candidates.filter(number__gt="036").delete()
    services.draw_seal(exam=exam, who=cast.teacher)
    services.draw_make(exam=exam, who=cast.teacher)
    client.force_login(cast.teacher)
    number = exam.candidates.filter(sample__sitting=morning).first().number
    send = lambda kind, **sent: client.post(  # noqa: E731
        reverse("planning:change", args=[exam.pk, kind]),
        {f"{kind}-{key}": value for key, value in sent.items()}, follow=True).content.decode()

    page = send("move", candidate=number, sitting="", reason="the bus is late")
    assert f"Another sitting: {number}" in page and exam.samples.get(candidate__number=number).sitting != morning
    assert "There is no open bench E4 in Laboratory 1" in send("open", sitting=morning.pk, bench="E4", reason="repaired")
    services.room_place(room=morning.room, who=cast.teacher, row=4, column=3, what="bench")
    assert "Bench opened: morning, E4" in send("open", sitting=morning.pk, bench="e4", reason="repaired")


def test_a_change_that_lacks_its_reason_is_shown_again_with_what_was_typed(cast, client):
    exam = exams.drawn(cast, candidates=36)
    client.force_login(cast.teacher)

    page = client.post(reverse("planning:change", args=[exam.pk, "swap"]), {"swap-one": "001", "swap-other": "999"})

    assert page.status_code == 422
    assert "No candidate 999 is drawn." in page.content.decode() and "001" in page.content.decode()


# People

def somebody(cast, role):
    user = User.objects.create_user(f"one {role}")
    Membership.objects.create(centre=cast.centre, user=user, role=role)
    return user


def test_a_person_gets_a_part_that_their_role_admits_to(cast):
    exam, examiner = exams.draft(cast), somebody(cast, Role.EXAMINER)

    services.duty_add(exam=exam, who=cast.teacher, user=examiner, part=Part.EXAMINES)
    services.duty_add(exam=exam, who=cast.teacher, user=examiner, part=Part.EXAMINES)

    assert [str(duty) for duty in exam.duties.all()] == ["one examiner: examines"]
    assert AuditEntry.objects.last().detail == {"exam": exam.pk, "person": "one examiner", "part": "examines"}
    services.duty_remove(duty=exam.duties.get(), who=cast.teacher, reason="on leave")
    assert AuditEntry.objects.last().what == "duty taken" and not exam.duties.exists()


def test_a_part_without_the_role_for_it_is_refused(cast):
    with pytest.raises(Refused, match="none of these roles in the centre: moderator"):
        services.duty_add(exam=exams.draft(cast), who=cast.teacher, user=somebody(cast, Role.EXAMINER),
                          part=Part.MODERATES)


def test_the_page_of_people_gives_and_takes_parts(cast, client):
    exam = exams.draft(cast)
    client.force_login(cast.teacher)
    client.post(reverse("planning:staff", args=[exam.pk]), {"user": cast.teacher.pk, "part": "lead"})
    assert "leads the exam" in client.get(reverse("planning:exam", args=[exam.pk])).content.decode()

    client.post(reverse("planning:staff-remove", args=[exam.pk, exam.duties.get().pk]), {"reason": "on leave"})

    assert not exam.duties.exists()


# Like last time

def test_an_exam_like_an_earlier_one_has_all_but_its_candidates_and_its_draw(cast):
    earlier = exams.drawn(cast)
    Exam.objects.filter(pk=earlier.pk).update(held_on=date(2027, 6, 1), rules=Rules(close_minutes=60).as_json())
    earlier.sittings.filter(name="morning").update(starts_at=datetime(2027, 6, 1, 9, tzinfo=UTC))
    services.duty_add(exam=earlier, who=cast.teacher, user=cast.teacher, part=Part.LEAD)
    earlier.refresh_from_db()

    new = services.exam_copy(exam=earlier, who=cast.teacher, name="the next", held_on=date(2028, 6, 1))

    assert (new.scheme, new.sample_mg, new.state, new.commitment) == (earlier.scheme, 1500, "draft", "")
    assert new.rules["close_minutes"] == 60 and new.candidates.count() == 0
    assert set(new.pool.values_list("formula", flat=True)) == set(exams.SALTS)
    assert new.sittings.get(name="morning").starts_at == datetime(2028, 6, 1, 9, tzinfo=UTC)
    assert new.sittings.get(name="afternoon").starts_at is None
    assert new.duties.get().user == cast.teacher


def test_a_copy_needs_a_name_of_its_own(cast):
    exam = exams.planned(cast)
    with pytest.raises(Refused, match="called 'June practical' already"):
        services.exam_copy(exam=exam, who=cast.teacher, name=exam.name)


def test_the_page_makes_an_exam_like_this_one(cast, client):
    exam = exams.planned(cast)
    client.force_login(cast.teacher)

    client.post(reverse("planning:exam-copy", args=[exam.pk]), {"name": "the next", "held_on": ""})

    assert Exam.objects.get(name="the next").sittings.count() == 2


# Size

def queries_of(client, address):
    client.get(address)  # caches of the knowledge base are warm
    with CaptureQueriesContext(connection) as seen:
        assert client.get(address).status_code == 200
    return len(seen)


def test_pages_with_3000_candidates_take_as_many_queries_as_with_30(cast, client):
    exam = exams.planned(cast, candidates=30)
    client.force_login(cast.teacher)
    pages = [reverse(f"planning:{name}", args=[exam.pk]) for name in (
        "exam", "roster", "sittings", "pool", "compare", "draw", "rules", "staff")]
    few = [queries_of(client, page) for page in pages]
    services.roster_import(exam=exam, who=cast.teacher, entries=exams.entries(3000))

    many = [queries_of(client, page) for page in pages]

    assert many == few and max(many) < 40


def test_pages_after_the_draw_take_as_many_queries_for_40_as_for_20(cast, client):
    client.force_login(cast.teacher)
    exam = exams.drawn(cast, candidates=20)
    pages = [reverse(f"planning:{name}", args=[exam.pk]) for name in ("draw", "changes", "exam")]
    few = [queries_of(client, page) for page in pages]
    services.exam_move(exam=exam, to="draft", who=cast.teacher, reason="twenty more")
    services.roster_import(exam=exam, who=cast.teacher, entries=exams.entries(40))
    services.draw_make(exam=services.draw_seal(exam=exam, who=cast.teacher), who=cast.teacher)

    assert [queries_of(client, page) for page in pages] == few
