"""The stock room's pages through the test client."""

import pytest
from django.urls import reverse

from examkit.models import Preparation, ShelfItem
from examkit.stockroom.services import shelf_add, tick
from tests.stockroom.drawn import drawn_exam

pytestmark = pytest.mark.django_db
NICKEL = "salt:NiCl2.6H2O"
HTMX = {"HTTP_HX_REQUEST": "true"}


def url(name, exam, *more):
    return reverse(f"stockroom:{name}", args=[exam.pk, *more])


def test_the_lab_assistant_sees_salts_and_codes_and_no_names(exam, as_user, assistant):
    page = as_user(assistant).get(url("overview", exam)).content.decode()

    assert "nickel(II) chloride hexahydrate" in page
    assert exam.samples.first().code in page
    assert not any(c.name in page for c in exam.candidates.all())
    assert "risk assessment" in page


@pytest.mark.parametrize("name", ["overview", "benches", "shelf", "bottle-add"])
def test_examiners_and_other_schools_are_kept_out(exam, as_user, cast, name):
    assert as_user(cast.examiner).get(url(name, exam)).status_code == 403
    assert as_user(cast.stranger).get(url(name, exam)).status_code == 404


def test_a_tick_is_saved_without_a_page_load(exam, as_user, assistant):
    answer = as_user(assistant).post(url("tick", exam), {"item": NICKEL, "done": "yes", "version": 0}, **HTMX)

    assert "Lino Reed" in answer.content.decode()
    assert "<html" not in answer.content.decode()
    assert Preparation.objects.get(item=NICKEL).done


def test_without_scripts_a_tick_leads_back_to_the_list(exam, as_user, assistant):
    answer = as_user(assistant).post(url("tick", exam), {"item": NICKEL, "done": "yes", "version": 0})

    assert answer.url == url("overview", exam)


def test_a_stale_tick_shows_both_and_changes_nothing(exam, as_user, assistant, teacher):
    tick(exam=exam, who=teacher, item=NICKEL, done=True, version=0)
    answer = as_user(assistant).post(url("tick", exam), {"item": NICKEL, "done": "yes", "version": 0}, **HTMX)

    assert "Tilda Marsh set this" in answer.content.decode()
    assert Preparation.objects.get(item=NICKEL).version == 1


@pytest.mark.parametrize("version", ["", "one", "-1", "99999999999999999999"])
def test_a_version_that_is_no_number_is_stale(exam, as_user, assistant, version):
    data = {"item": NICKEL, "done": "yes", "version": version}
    answer = as_user(assistant).post(url("tick", exam), data, **HTMX)

    assert answer.status_code == 200
    assert "Look, then try again" in answer.content.decode()


def test_the_sign_off_that_comes_too_early_is_told_why(exam, as_user, assistant):
    page = as_user(assistant).post(url("sign-off", exam), follow=True).content.decode()

    assert "not done yet" in page


def test_a_bottle_is_added_changed_used_and_discarded(exam, as_user, assistant):
    client = as_user(assistant)
    client.post(url("bottle-add", exam), {"substance": "potassium bromide", "amount": "50"})
    jar = ShelfItem.objects.get()
    client.post(url("bottle-change", exam, jar.pk), {"amount": "40", "note": "new label", "was": 50_000})
    client.post(url("bottle-use", exam, jar.pk), {"amount": "15", "was": 40_000})
    jar.refresh_from_db()
    assert (jar.substance, jar.amount, jar.note) == ("KBr", 25_000, "new label")
    client.post(url("bottle-remove", exam, jar.pk), {"why": "damp"})

    assert not ShelfItem.objects.exists()


def test_an_unknown_substance_is_said_beside_the_field(exam, as_user, assistant):
    page = as_user(assistant).post(url("bottle-add", exam), {"substance": "<b>gold</b>", "amount": "1"})

    assert "has no &#x27;&lt;b&gt;gold&lt;/b&gt;&#x27;" in page.content.decode()


def test_a_bottle_that_changed_meanwhile_keeps_what_was_typed(exam, as_user, centre, assistant):
    jar = shelf_add(centre=centre, who=assistant, substance="KBr", amount=50)
    page = as_user(assistant).post(url("bottle-change", exam, jar.pk), {"amount": "33", "was": 60_000})

    assert "meanwhile" in page.content.decode()
    assert 'value="33"' in page.content.decode()


def test_a_bottle_of_another_school_is_not_found(exam, as_user, cast):
    foreign = shelf_add(centre=cast.elsewhere, who=cast.stranger, substance="KBr", amount=50)

    assert as_user(cast.assistant).get(url("bottle-change", exam, foreign.pk)).status_code == 404
    assert as_user(cast.assistant).post(url("bottle-use", exam, foreign.pk), {"amount": 1}).status_code == 404


def test_before_the_draw_the_page_says_what_is_missing(as_user, assistant, centre):
    draft = drawn_exam(centre, candidates=0, state="draft")

    assert "not drawn yet" in as_user(assistant).get(url("overview", draft)).content.decode()


def test_the_same_bottles_stand_on_every_bench(exam, as_user, assistant):
    page = as_user(assistant).get(url("benches", exam)).content.decode()

    assert "The same on every bench" in page
    assert "sodium hydroxide, 2 mol/L" in page
    assert "hydrogen sulfide" in page.split("In the fume cupboard")[1]
