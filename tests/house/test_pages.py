"""The first page of each role, and the pages for what went wrong."""

import pytest
from django.urls import reverse

from examkit.house import errors
from examkit.models import Exam, State
from tests import cast as cast_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def exam(centre):
    return cast_of.exam(centre)


def first_page(as_user, person):
    return as_user(person).get(reverse("home")).content.decode()


def waits_for(exam, cast, as_user):
    """Who finds the exam on their first page."""
    return {name for name in ("teacher", "assistant", "examiner", "moderator")
            if exam.name in first_page(as_user, getattr(cast, name))}


@pytest.mark.parametrize(("state", "people"), [
    (State.DRAFT, {"teacher"}),
    (State.DRAWN, {"teacher", "assistant"}),
    (State.PREPARED, {"teacher", "assistant"}),
    (State.SAT, {"teacher", "examiner", "moderator"}),
    (State.MARKED, {"teacher", "moderator"}),
    (State.RELEASED, {"teacher"}),
])
def test_an_exam_waits_for_those_whose_turn_it_is(state, people, exam, cast, as_user):
    Exam.objects.filter(pk=exam.pk).update(state=state)

    assert waits_for(exam, cast, as_user) == people


@pytest.mark.parametrize("state", [State.SAT, State.MARKED])
def test_a_moderator_is_promised_only_what_there_is(state, exam, cast, as_user):
    Exam.objects.filter(pk=exam.pk).update(state=state)
    page = first_page(as_user, cast.moderator)

    assert "ead them" in page or "Read the records" in page
    assert "econd-mark" not in page and "differences" not in page


def test_an_exam_of_another_centre_waits_for_nobody_here(exam, cast, as_user):
    assert exam.name not in first_page(as_user, cast.stranger)


def test_a_person_without_a_centre_is_told_whom_to_ask(cast, as_user):
    cast.teacher.memberships.all().delete()

    assert "do not belong to a centre yet" in first_page(as_user, cast.teacher)


def test_where_nothing_waits_the_page_says_so(cast, as_user):
    assert "Nothing waits for you." in first_page(as_user, cast.examiner)


def test_an_address_that_does_not_exist_gets_our_own_page(client, db):
    page = client.get("/no/such/page/")

    assert page.status_code == 404 and "There is no such page" in page.content.decode()


def test_a_page_for_another_role_says_so(cast, as_user):
    page = as_user(cast.examiner).get(reverse("audit"))

    assert page.status_code == 403 and "not for your role" in page.content.decode()


def test_an_address_that_takes_forms_only_says_so_when_it_is_opened(cast, as_user):
    page = as_user(cast.teacher).get(reverse("choose-centre"))

    assert page.status_code == 405 and page["Allow"] == "POST"
    assert "Nothing was changed." in page.content.decode()


def test_what_is_too_large_to_be_read_gets_our_own_page(cast, as_user):
    page = as_user(cast.teacher).post(reverse("choose-centre"), {"centre": "1" * 6 * 2**20})

    assert page.status_code == 400 and "larger than any form here" in page.content.decode()


def test_a_fault_of_ours_gives_back_what_was_typed_but_no_password(rf):
    page = errors.broken(rf.post("/", {"observation": "white <b>ppt", "password": "quiet copper"})).content.decode()

    assert "white &lt;b&gt;ppt" in page and "quiet copper" not in page


def test_a_fault_of_ours_shows_no_internals(rf):
    page = errors.broken(rf.get("/"))

    assert page.status_code == 500 and "Something broke on our side" in page.content.decode()


def test_every_page_carries_a_policy_that_lets_nothing_foreign_in(client, db):
    policy = client.get(reverse("sign-in")).headers["Content-Security-Policy"]

    assert "default-src 'none'" in policy and "unsafe" not in policy and "http" not in policy
