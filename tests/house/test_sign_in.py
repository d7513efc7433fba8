"""Signing in and out, and what was typed when the session had ended."""

import pytest
from django.http import QueryDict
from django.test import Client
from django.urls import reverse

from examkit.resume import kept_form
from tests.cast import PASSWORD

pytestmark = pytest.mark.django_db


def sign_in(client, username="teacher", password=PASSWORD, **more):
    return client.post(reverse("sign-in"), {"username": username, "password": password, **more})


def test_a_person_signs_in_and_lands_on_what_is_next(cast, client):
    assert sign_in(client).url == reverse("home")


def test_after_signing_in_the_page_asked_for_comes(cast, client):
    asked = client.get(reverse("audit"))

    assert asked.url == "/sign-in/?next=/audit/"
    assert sign_in(client, next="/audit/").url == "/audit/"


def test_nobody_is_sent_to_another_site(cast, client):
    assert sign_in(client, next="https://elsewhere.example/").url == reverse("home")


def test_signing_out_ends_the_session(cast, client):
    sign_in(client)
    client.post(reverse("sign-out"))

    assert client.get(reverse("home")).status_code == 302


def test_a_wrong_password_is_told_without_saying_which_half_was_wrong(cast, client):
    page, other = sign_in(client, password="wrong"), sign_in(client, username="nobody", password="wrong")

    assert page.status_code == other.status_code == 200
    assert page.context["form"].non_field_errors() == other.context["form"].non_field_errors()


def test_guessing_is_stopped_even_with_the_right_password_at_last(cast, client, settings):
    for _guess in range(settings.AXES_FAILURE_LIMIT):
        last = sign_in(client, password="wrong")

    assert last.status_code == 429 and "closed for 15 minutes" in last.content.decode()
    assert sign_in(client).status_code == 429


def test_a_form_sent_after_the_session_ended_is_kept_in_the_sign_in_page(cast, client):
    page = client.post(reverse("choose-centre"), {"observation": "white ppt\nsoluble in excess"})

    kept = '<textarea hidden name="kept:observation">\nwhite ppt\nsoluble in excess</textarea>'
    assert page.status_code == 401 and kept in page.content.decode()


def test_a_kept_form_is_offered_to_be_sent_after_signing_in(cast, client):
    page = sign_in(client, kept_path="/centre/", **{"kept:observation": "white ppt", "kept:tick": ["a", "b"]})

    assert page.context["kept"].fields == (("observation", "white ppt"), ("tick", "a"), ("tick", "b"))
    assert '<form method="post" action="/centre/" data-guard>' in page.content.decode()


def test_a_wrong_password_does_not_lose_the_kept_form(cast, client):
    page = sign_in(client, password="wrong", kept_path="/centre/", **{"kept:observation": "white ppt"})

    assert '<textarea hidden name="kept:observation">\nwhite ppt</textarea>' in page.content.decode()


def test_passwords_are_never_carried_along(client, cast):
    page = client.post(reverse("password"), {"old_password": "geheim", "new_password1": "geheimer"})

    assert page.status_code == 401 and "geheim" not in page.content.decode()


@pytest.mark.parametrize("path", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:x()", ""])
def test_a_kept_form_goes_to_this_site_only(path):
    post = QueryDict(mutable=True)
    post["kept_path"] = path

    assert kept_form(post).path == ""


def test_markup_in_a_kept_form_is_shown_as_text(cast, client):
    page = client.post(reverse("choose-centre"), {"x": "</textarea><script>alert(1)</script>"}).content.decode()

    assert "<script>alert(1)" not in page and "&lt;script&gt;alert(1)" in page


def test_a_save_without_reloading_and_without_a_session_gets_401(cast, client):
    assert client.get(reverse("audit"), headers={"HX-Request": "true"}).status_code == 401


def test_a_form_with_an_old_token_shows_what_was_typed(cast):
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.teacher, backend="django.contrib.auth.backends.ModelBackend")

    page = client.post(reverse("choose-centre"), {"observation": "white ppt"})

    assert page.status_code == 403 and "white ppt" in page.content.decode()


def test_a_new_password_must_be_long_but_needs_no_signs(cast, as_user):
    client = as_user(cast.teacher)
    fields = {"old_password": PASSWORD, "new_password1": "Ab1!", "new_password2": "Ab1!"}

    assert "at least 15 characters" in client.post(reverse("password"), fields).content.decode()
    fields |= {"new_password1": "river lantern stable", "new_password2": "river lantern stable"}
    assert client.post(reverse("password"), fields).url == reverse("home")
