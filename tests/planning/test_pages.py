"""The pages of planning through the client: the usual way first, then every refusal, strangers last."""

import re
from datetime import date

import pytest
from django.urls import reverse

from examkit.models import AuditEntry, Candidate, Exam, Sitting, State
from examkit.planning import services
from tests.planning import exams
from tests.planning.pages import a_file, text_of, url

pytestmark = pytest.mark.django_db
FORM = {"name": "June practical", "held_on": "2027-06-12", "scheme": "semimicro", "mark_scheme": "common",
        "sample_g": "1.5", "spare_percent": "20"}


def test_a_teacher_goes_from_nothing_to_a_draw(page, cast):
    page.post(url("new"), FORM)
    exam = Exam.objects.get()
    page.post(url("rooms"), {"name": "Laboratory 1", "rows": 5, "columns": 4})
    room = cast.centre.rooms.get()
    for name in ("morning", "afternoon"):
        page.post(url("sittings", exam.pk), {"name": name, "room": room.pk, "starts_at": "2027-06-12T09:00"})
    data = "Number;Name\n" + "".join(f"{n:03};Candidate {n}\n" for n in range(1, 41))
    preview = page.post(url("roster-import", exam.pk), {"list": a_file(data.encode())})
    assert not Candidate.objects.exists(), "a preview saves nothing"
    page.post(url("roster-import-confirm", exam.pk), {"kept": preview.context["kept"]})
    page.post(url("pool", exam.pk), {"salt": exams.SALTS})
    page.post(url("draw-seal", exam.pk))
    page.post(url("draw-make", exam.pk), {"public": "4 2 6"})

    exam.refresh_from_db()
    assert (exam.state, exam.samples.count(), exam.held_on) == (State.DRAWN, 40, date(2027, 6, 12))
    shown = text_of(page.get(url("draw", exam.pk)))
    assert exam.commitment in shown and "4 2 6" in shown
    codes = [f"{code[:3]} {code[3:]}" for code in exam.samples.values_list("code", flat=True)]
    assert all(code in shown for code in codes)


def test_the_exam_page_says_what_is_missing(page, cast):
    shown = text_of(page.get(exams.draft(cast).get_absolute_url()))

    assert "The class list is empty" in shown and "The pool has fewer than two salts" in shown


def test_the_draw_page_names_no_salt_until_it_is_asked(page, cast):
    exam = exams.drawn(cast)

    hidden = page.get(url("draw", exam.pk)).content.decode()
    shown = page.get(url("draw", exam.pk), {"salts": "shown"}).content.decode()

    assert not [salt for salt in ("NiCl", "CuSO", "NaNO₂") if salt in hidden]
    assert "NiCl₂·6H₂O" in shown and "CuSO₄·5H₂O" in shown


def test_seed_and_nonce_are_shown_only_after_release(page, cast):
    exam = exams.drawn(cast)
    assert exam.seed not in page.get(url("draw", exam.pk), {"salts": "shown"}).content.decode()
    Exam.objects.update(state=State.RELEASED)

    shown = page.get(url("draw", exam.pk)).content.decode()

    assert exam.seed in shown and exam.nonce in shown


def test_the_draw_is_checked_on_the_page(page, cast):
    exam = exams.drawn(cast)
    assert "every seat, salt and code is as drawn" in text_of(page.get(url("draw", exam.pk), {"check": "now"}))
    exam.samples.first().delete()

    assert "The draw does not check out" in text_of(page.get(url("draw", exam.pk), {"check": "now"}))


def test_an_impossible_draw_says_why_on_the_page(page, cast):
    exam = exams.planned(cast, salts=exams.SALTS[:3])

    shown = text_of(page.post(url("draw-seal", exam.pk), follow=True))

    assert "4 salts are needed; the pool has 3" in shown


def test_the_draw_is_undone_with_a_reason_only(page, cast):
    exam = exams.drawn(cast)
    assert "Give a reason" in text_of(page.post(url("exam-move", exam.pk), {"to": "draft"}, follow=True))

    page.post(url("exam-move", exam.pk), {"to": "draft", "reason": "a candidate was forgotten"})

    assert Exam.objects.get().state == State.DRAFT


def test_a_seal_is_broken_with_a_reason_only(page, cast):
    exam = services.draw_seal(exam=exams.planned(cast), who=cast.teacher)
    page.post(url("draw-unseal", exam.pk))
    assert Exam.objects.get().commitment

    page.post(url("draw-unseal", exam.pk), {"reason": "one more candidate"})

    assert not Exam.objects.get().commitment


def test_an_unknown_state_is_refused(page, cast):
    exam = exams.draft(cast)

    assert "There is no such state" in text_of(page.post(url("exam-move", exam.pk), {"to": "x"}, follow=True))


def test_an_exam_is_deleted_with_a_reason(page, cast):
    exam = exams.draft(cast)
    page.get(url("exam-delete", exam.pk))

    page.post(url("exam-delete", exam.pk), {"reason": "made twice"})

    assert not Exam.objects.exists()


def test_a_stale_save_shows_both_versions_and_can_be_saved_again(page, cast):
    exam = exams.draft(cast)
    services.exam_change(exam=exam, who="somebody else", version=1, name="Theirs")

    stale = page.post(url("exam-edit", exam.pk), FORM | {"name": "Mine", "version": 1})
    assert stale.status_code == 409
    shown = text_of(stale)
    assert "Theirs" in shown and "Mine" in shown
    version = re.search(r'name="version" value="(\d+)"', stale.content.decode())[1]
    page.post(url("exam-edit", exam.pk), FORM | {"name": "Mine", "version": version})

    assert Exam.objects.get().name == "Mine"


def test_a_name_that_is_taken_is_told_beside_the_form(page, cast):
    exams.draft(cast)

    assert "'June practical' already" in page.post(url("new"), FORM).content.decode().replace("&#x27;", "'")


@pytest.mark.parametrize("wrong", [
    {"name": ""}, {"sample_g": "0"}, {"sample_g": "nine"}, {"spare_percent": "301"}, {"scheme": "none"},
    {"held_on": "the 12th"},
])
def test_a_wrong_field_is_told_and_nothing_is_made(page, cast, wrong):
    response = page.post(url("new"), FORM | wrong)

    assert response.status_code == 200 and "invalid-feedback" in response.content.decode()
    assert not Exam.objects.exists()


# Rooms, sittings, pool

@pytest.mark.parametrize(("second", "warned"), [("2027-06-12T09:00Z", True), ("2027-06-12T13:00Z", False), (None, False)])
def test_two_sittings_in_one_room_at_one_time_are_pointed_out(page, cast, second, warned):
    exam = exams.planned(cast)
    exam.sittings.filter(name="morning").update(starts_at="2027-06-12T09:00Z")
    exam.sittings.filter(name="afternoon").update(starts_at=second)

    assert ("At the same time in" in text_of(page.get(url("sittings", exam.pk)))) == warned


def test_a_bench_is_closed_with_a_click(page, cast):
    room = exams.room(cast)
    bench = room.benches.get(label="B2")

    page.post(url("room-place", room.pk), {"tool": "closed bench", "place": f"{bench.row},{bench.column}"})

    assert not room.benches.get(label="B2").open
    assert "not used" in text_of(page.get(url("room", room.pk)))


def test_a_room_in_use_stays_and_the_page_says_why(page, cast):
    room = exams.planned(cast).sittings.first().room

    assert "is used by sittings" in text_of(page.post(url("room-delete", room.pk), {"reason": "not ours"}, follow=True))


def test_an_unused_room_is_deleted(page, cast):
    page.post(url("room-delete", exams.room(cast).pk), {"reason": "not ours"})

    assert not cast.centre.rooms.exists()


def test_a_sitting_is_changed_and_deleted(page, cast):
    sitting = exams.planned(cast).sittings.first()
    form = {"name": "early", "room": sitting.room.pk, "starts_at": ""}

    page.post(url("sitting", sitting.exam.pk, sitting.pk), form)
    assert Sitting.objects.get(pk=sitting.pk).name == "early"
    page.post(url("sitting-delete", sitting.exam.pk, sitting.pk), {"reason": "too early"})

    assert not Sitting.objects.filter(pk=sitting.pk).exists()


def test_a_refused_pool_stays_ticked(page, cast):
    exam = exams.draft(cast)

    response = page.post(url("pool", exam.pk), {"salt": ["KI"]})

    assert "a pool has at least 2 salts" in text_of(response)
    assert re.search(r'value="KI"[^>]*checked', response.content.decode())


def test_a_pool_of_a_drawn_exam_can_be_looked_at_only(page, cast):
    exam = exams.drawn(cast)

    assert re.search(r'value="KI"[^>]*disabled', page.get(url("pool", exam.pk)).content.decode())
    page.post(url("pool", exam.pk), {"salt": ["KI", "NH4Cl"]})

    assert exam.pool.count() == 12


# Strangers

def every_page_of(exam):
    sitting, candidate = exam.sittings.first(), exam.candidates.first()
    for name in ("exam", "exam-edit", "exam-move", "exam-delete", "sittings", "roster", "roster-import",
                 "roster-import-confirm", "candidate-new", "pool", "draw", "draw-seal", "draw-unseal", "draw-make"):
        yield url(name, exam.pk)
    for name in ("sitting", "sitting-delete"):
        yield url(name, exam.pk, sitting.pk)
    for name in ("candidate", "candidate-delete"):
        yield url(name, exam.pk, candidate.pk)
    yield url("sitting-back", exam.pk, 1)
    yield url("list-undo", exam.pk, 1)
    yield url("room", sitting.room.pk)
    yield url("room-delete", sitting.room.pk)
    yield url("room-place", sitting.room.pk)
    yield url("room-separate", sitting.room.pk)
    yield url("exam-copy", exam.pk)
    yield url("staff", exam.pk)
    yield url("rules", exam.pk)
    yield url("changes", exam.pk)
    yield url("suggested", exam.pk)


def test_another_centres_teacher_finds_nothing(cast, as_user):
    exam = exams.planned(cast)
    entries = AuditEntry.objects.count()
    page = as_user(cast.stranger)

    for address in every_page_of(exam):
        answers = {page.get(address).status_code, page.post(address).status_code}
        assert answers <= {404, 405}, address
    assert AuditEntry.objects.count() == entries
    assert exam.name not in page.get(url("exams")).content.decode()


@pytest.mark.parametrize("role", ["assistant", "examiner", "moderator"])
def test_other_roles_see_no_page_of_planning(cast, as_user, role):
    exam = exams.planned(cast)
    page = as_user(getattr(cast, role))

    for address in (*every_page_of(exam), url("exams"), url("new"), url("rooms")):
        assert page.get(address).status_code == page.post(address).status_code == 403, address


def test_who_is_not_signed_in_is_asked_to(client, cast):
    response = client.get(exams.draft(cast).get_absolute_url())

    assert response.status_code == 302 and reverse("sign-in") in response.url
