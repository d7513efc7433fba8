"""Who may what, for every address and every role, generated from the address table."""

import re

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.http import HttpResponse
from django.test import RequestFactory, override_settings
from django.urls import URLPattern, get_resolver, path, reverse

from examkit.access import AccessMiddleware, allow
from examkit.models import Membership, Role
from tests import cast as cast_of

# what a name in an address stands for, where nothing of the kind is at hand
NOTHING = {"int": 999_999, "str": "ZZZZ", "slug": "zzzz", "uuid": "00000000-0000-4000-8000-000000000000",
           "path": "zzzz"}
ROLES = {"teacher": Role.TEACHER, "assistant": Role.ASSISTANT, "examiner": Role.EXAMINER,
         "moderator": Role.MODERATOR, "invigilator": Role.INVIGILATOR}


def addresses(resolver=None, prefix=""):
    """Every pattern of the address table: (route, view)."""
    for pattern in (resolver or get_resolver()).url_patterns:
        route = prefix + str(pattern.pattern)
        if isinstance(pattern, URLPattern):
            yield route, pattern.callback
        else:
            yield from addresses(pattern, route)


PARTS = re.compile(r"(?:([\w-]+)/)?<(?:(\w+):)?(\w+)>")  # two names may stand side by side


def fill(route, exam, things=None):
    """An address for the route: the exam's key for `exams/<pk>`, the `things` by their names, else nothings."""
    def value(match):
        folder, kind, name = match.groups()
        name = folder.rstrip("s") if folder and name == "pk" else name
        known = {"exam": exam.pk} | (things or {})
        return f"{folder}/{known.get(name, NOTHING[kind or 'str'])}" if folder else str(
            known.get(name, NOTHING[kind or "str"]))
    return "/" + PARTS.sub(value, route)


def things_of(exam):
    """One of everything that an address can name, in the exam and its centre."""
    room = exam.centre.rooms.create(name="Laboratory 1")
    bench = room.benches.create(row=1, column=1, label="A1")
    sitting = exam.sittings.create(room=room, name="morning")
    candidate = exam.candidates.create(number="0012", name="Ada")
    sample = exam.samples.create(candidate=candidate, sitting=sitting, bench=bench, salt="NaCl", code="KF7M2")
    bottle = exam.centre.shelf.create(substance="NaCl", amount=1000)
    return {"room": room.pk, "bench": bench.pk, "sitting": sitting.pk, "candidate": candidate.pk,
            "bottle": bottle.pk, "code": sample.code}


def ask(client, url):
    """GET, or POST where only that is allowed."""
    response = client.get(url)
    return client.post(url) if response.status_code == 405 else response


TABLE = sorted(addresses(), key=lambda each: each[0])
ROUTES = pytest.mark.parametrize(("route", "view"), TABLE, ids=[route or "home" for route, _view in TABLE])


@pytest.fixture
def exam(cast):
    return cast_of.exam(cast.centre)


@pytest.fixture
def foreign(cast):
    return cast_of.exam(cast.elsewhere)


@ROUTES
def test_every_address_has_a_rule(route, view):
    assert hasattr(view, "rule"), f"{route}: add @allow(...), @signed_in or @public of examkit.access to its view"


@ROUTES
@pytest.mark.parametrize("person", ROLES)
def test_each_role_gets_in_where_its_rule_says_and_nowhere_else(route, view, person, cast, exam, as_user):
    response = ask(as_user(getattr(cast, person)), fill(route, exam))

    admitted = view.rule.admits(signed_in=True, roles={ROLES[person]})
    assert (response.status_code != 403) == admitted
    assert response.status_code < 500


@ROUTES
@pytest.mark.parametrize("method", ["put", "delete", "trace", "options"])
def test_methods_that_no_page_uses_are_refused(route, view, method, cast, exam, as_user):
    assert getattr(as_user(cast.teacher), method)(fill(route, exam)).status_code == 405


@ROUTES
def test_no_answer_may_be_kept_by_a_browser_or_a_proxy(route, view, cast, exam, as_user):
    for person in ROLES:
        response = ask(as_user(getattr(cast, person)), fill(route, exam))
        assert "no-store" in response["Cache-Control"]


@ROUTES
def test_without_signing_in_only_public_addresses_open(route, view, exam, client):
    response = ask(client, fill(route, exam))

    sent_away = response.status_code in (401, 302) and "sign-in" in response.get("Location", "/sign-in/")
    assert view.rule.everyone or sent_away


@ROUTES
def test_a_person_without_any_role_gets_in_nowhere_special(route, view, cast, exam, as_user):
    Membership.objects.filter(user=cast.teacher).delete()

    response = ask(as_user(cast.teacher), fill(route, exam))

    assert (response.status_code != 403) == view.rule.admits(signed_in=True, roles=())


@pytest.mark.parametrize(("route", "view"), [each for each in TABLE if each[0].startswith("exams/<int:pk>/")],
                         ids=lambda each: each if isinstance(each, str) else "")
def test_an_exam_of_another_centre_is_not_there(route, view, cast, foreign, as_user):
    for person, role in ROLES.items():
        if view.rule.admits(signed_in=True, roles={role}):
            assert ask(as_user(getattr(cast, person)), fill(route, foreign)).status_code == 404


NAMED = [each for each in TABLE if re.search(r"<(?:\w+:)?(sitting|candidate|bottle|code|bench)>|rooms/<", each[0])]


@pytest.mark.parametrize(("route", "view"), NAMED, ids=[route for route, _view in NAMED])
def test_a_thing_of_another_centre_is_not_there_even_by_way_of_an_exam_of_ones_own(
        route, view, cast, exam, foreign, as_user):
    theirs = things_of(foreign)
    for person, role in ROLES.items():
        if view.rule.admits(signed_in=True, roles={role}):
            assert ask(as_user(getattr(cast, person)), fill(route, exam, theirs)).status_code == 404


def ruleless(request):
    """A view that somebody forgot to guard."""
    return HttpResponse("secret")


urlpatterns = [path("forgotten/", ruleless)]


@override_settings(ROOT_URLCONF="tests.test_access")
def test_a_view_without_a_rule_is_refused(client, db):
    with pytest.raises(ImproperlyConfigured, match="tests.test_access.ruleless has no rule"):
        client.get("/forgotten/")


def test_allow_without_roles_is_a_mistake():
    with pytest.raises(ImproperlyConfigured, match="at least one role"):
        allow()


def test_a_person_with_two_centres_works_in_the_chosen_one(cast, as_user):
    Membership.objects.create(centre=cast.elsewhere, user=cast.teacher, role=Role.EXAMINER)
    client = as_user(cast.teacher)

    client.post(reverse("choose-centre"), {"centre": cast.elsewhere.pk})
    request = client.get(reverse("home")).wsgi_request

    assert (request.centre, request.roles) == (cast.elsewhere, {"examiner"})


def test_nobody_can_choose_a_centre_they_do_not_belong_to(cast, as_user):
    client = as_user(cast.teacher)

    assert client.post(reverse("choose-centre"), {"centre": cast.elsewhere.pk}).status_code == 404
    assert client.get(reverse("home")).wsgi_request.centre == cast.centre


def test_roles_are_gone_at_once_when_a_membership_is_taken_away(cast, as_user):
    client = as_user(cast.teacher)
    Membership.objects.filter(user=cast.teacher).delete()

    assert client.get(reverse("audit")).status_code == 403


def test_the_roles_of_a_request_are_those_in_its_centre_only(cast):
    Membership.objects.create(centre=cast.elsewhere, user=cast.examiner, role=Role.TEACHER)
    request = RequestFactory().get("/")
    request.user, request.session = cast.examiner, {"centre": cast.centre.pk}

    AccessMiddleware(lambda request: HttpResponse())(request)

    assert request.roles == {"examiner"}
