"""The pages of what is our own: forms, refusals beside their fields, stale pages, other centres."""

import pytest
from django.urls import reverse

from examkit.knowledge import knowledge
from examkit.models import Own
from tests.own import entries

pytestmark = pytest.mark.django_db
WHERE = {"subject": "Ni2+", "place": "naoh.tube"}
OUTCOME_FORM = {
    "0-event": "precipitate", "0-colours": "bluish green", "0-texture": "gelatinous", "1-event": "none",
    "why": "seen by all of 12Q in March",
}


@pytest.fixture
def pages(cast, as_user):
    return as_user(cast.teacher)


def text(response):
    return response.content.decode()


def test_the_page_lists_what_is_ours_by_kind(cast, pages):
    entries.add_salt(cast)
    entries.add(cast, "reagent", entries.WEAK_AMMONIA, "ammonia-dilute")
    entries.add(cast, "outcome", entries.BLUISH)

    shown = text(pages.get(reverse("own:index")))

    assert "nickel(II) bromide trihydrate" in shown and "NiBr₂·3H₂O; Ni²⁺, Br⁻" in shown
    assert "2 mol/L instead of 4 mol/L" in shown
    assert "Ni²⁺, Sodium hydroxide" in shown and "bluish green gelatinous precipitate" in shown
    assert "tried here in March" in shown and knowledge(cast.centre).edition[:12] in shown


def test_an_empty_page_says_so_and_offers_what_can_be_added(pages):
    shown = text(pages.get(reverse("own:index")))

    assert "All reagents are made up as shipped." in shown
    assert reverse("own:salt-new") in shown


def test_a_salt_is_added_with_the_counts_of_its_ions_from_the_formula(cast, pages):
    response = pages.post(reverse("own:salt-new"), entries.SALT_FORM)

    assert response.url == reverse("own:index")
    salt = knowledge(cast.centre).salts["NiBr2.3H2O"]
    assert salt.ions == {"Ni2+": 1, "Br-": 2}
    assert salt.hazards.statements == ("H315", "H319")


def test_the_look_up_and_the_pool_know_the_salt_then(cast, pages):
    entries.add_salt(cast)

    assert "nickel(II) bromide trihydrate" in text(pages.get(reverse("lookup:salt", args=["NiBr2.3H2O"])))


@pytest.mark.parametrize(("change", "field", "words"), [
    ({"formula": "NiBr3.3H2O"}, "formula", "do not make up this formula"),
    ({"formula": "Qq"}, "formula", "no element"),
    ({"colour": "blurple"}, "colour", "no colour word"),
    ({"statements": "H999"}, "statements", "has no text"),
    ({"formula": "NiCl2.6H2O", "anion": "Cl-"}, "formula", "shipped base already"),
    ({"why": ""}, "why", "required"),
    ({"names": "nickel\0bromide, nickel bromide"}, "names", "Null characters"),
])
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(pages, change, field, words):
    response = pages.post(reverse("own:salt-new"), entries.SALT_FORM | change)

    assert any(words in problem for problem in response.context["form"].errors[field])
    assert 'nickel bromide"' in text(response)
    assert not Own.objects.exists()


def test_a_salt_is_changed_but_its_formula_stays(cast, pages):
    entry = entries.add_salt(cast)
    pages.post(reverse("own:change", args=[entry.pk]),
                entries.SALT_FORM | {"formula": "NaCl", "colour": "green", "version": 1})

    entry.refresh_from_db()
    assert (entry.key, entry.data["salt"]["formula"], entry.version) == ("NiBr2.3H2O", "NiBr2.3H2O", 2)
    assert knowledge(cast.centre).salts["NiBr2.3H2O"].colour == ("green",)


def test_a_stale_page_shows_both_versions_and_can_be_saved_after_all(cast, pages):
    entry = entries.add_salt(cast)
    address = reverse("own:change", args=[entry.pk])
    pages.post(address, entries.SALT_FORM | {"colour": "green", "version": 1})

    stale = pages.post(address, entries.SALT_FORM | {"form": "lumps", "version": 1})

    assert stale.status_code == 409
    assert "Somebody else saved this" in text(stale) and "lumps" in text(stale)
    again = {name: stale.context["form"][name].value() for name in ("version",)}
    assert pages.post(address, entries.SALT_FORM | {"form": "lumps"} | again).status_code == 302


def test_a_strength_is_changed_with_its_name(cast, pages):
    address = reverse("own:reagent-new", args=["ammonia-dilute"])
    form = pages.get(address).context["form"]
    sent = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    sent |= {"strength_mol_L": "2", "name": "ammonia solution, 2 mol/L", "why": "our scheme says 2 M",
             "statements": "H314, H335"}

    assert pages.post(address, sent).status_code == 302
    entry = Own.objects.get()
    assert entry.data == entries.WEAK_AMMONIA
    assert pages.get(address).url == reverse("own:change", args=[entry.pk])


def test_a_strength_above_that_of_its_stock_is_told_beside_it(pages):
    address = reverse("own:reagent-new", args=["ammonia-dilute"])
    form = pages.get(address).context["form"]
    sent = {name: form[name].value() for name in form.fields if form[name].value() is not None}

    refused = pages.post(address, sent | {"strength_mol_L": "30", "why": "why not", "statements": "H314, H335"})

    assert "cannot be diluted from" in str(refused.context["form"].errors["strength_mol_L"])


def test_a_reagent_that_is_not_there_is_not_found(pages):
    assert pages.get(reverse("own:reagent-new", args=["aether"])).status_code == 404


def test_an_outcome_is_accepted_step_by_step(cast, pages):
    where = pages.get(reverse("own:outcome-where"), WHERE)
    assert "Expected now:" in text(pages.get(where.url))

    assert pages.post(where.url, OUTCOME_FORM).status_code == 302

    fact = knowledge(cast.centre).ions["Ni2+"].facts["naoh", "tube"]
    assert fact.also[-1].seen[0].colours == ("bluish green",)
    assert fact.seen == knowledge().ions["Ni2+"].facts["naoh", "tube"].seen


def test_what_has_no_outcome_of_its_own_is_said_before_anything_is_typed(pages):
    shown = pages.get(reverse("own:outcome-where"), {"subject": "NiCl2.6H2O", "place": "naoh.tube"})

    assert "choose the ion" in text(shown)


def test_an_outcome_without_a_known_colour_is_refused(pages):
    where = pages.get(reverse("own:outcome-where"), WHERE).url
    shown = text(pages.post(where, OUTCOME_FORM | {"0-colours": "blurple"}))

    assert "no colour word" in shown.replace("&#x27;", "'")


def test_an_outcome_is_changed_and_withdrawn(cast, pages):
    entry = entries.add(cast, "outcome", entries.BLUISH)
    address = reverse("own:change", args=[entry.pk])
    assert pages.post(address, OUTCOME_FORM | {"0-colours": "blue", "version": 1}).status_code == 302
    assert knowledge(cast.centre).ions["Ni2+"].facts["naoh", "tube"].also[-1].seen[0].colours == ("blue",)

    pages.post(reverse("own:withdraw", args=[entry.pk]), {"version": 2, "reason": "a mistake of ours"})

    assert knowledge(cast.centre) is knowledge()
    assert pages.get(address).status_code == 404


def test_withdrawing_without_a_reason_is_refused(cast, pages):
    entry = entries.add_salt(cast)

    pages.post(reverse("own:withdraw", args=[entry.pk]), {"version": 1, "reason": " "})

    assert Own.objects.get().active


def test_a_withdrawn_entry_is_brought_back_on_the_page(cast, pages):
    entry = entries.add_salt(cast)
    pages.post(reverse("own:withdraw", args=[entry.pk]), {"version": 1, "reason": "sold out for good"})
    address = reverse("own:back", args=[entry.pk])
    assert address in pages.get(reverse("own:index")).content.decode()

    pages.post(address, {"version": 2, "reason": "found in the cellar"})

    assert Own.objects.get().active and address not in pages.get(reverse("own:index")).content.decode()


def test_another_centre_neither_sees_nor_changes_it(cast, as_user):
    entry = entries.add_salt(cast)
    stranger = as_user(cast.stranger)

    assert "bromide" not in text(stranger.get(reverse("own:index")))
    assert stranger.get(reverse("own:change", args=[entry.pk])).status_code == 404
    assert stranger.post(reverse("own:withdraw", args=[entry.pk])).status_code == 404
    Own.objects.update(active=False)
    assert stranger.post(reverse("own:back", args=[entry.pk])).status_code == 404
    assert stranger.get(reverse("lookup:salt", args=["NiBr2.3H2O"])).status_code == 404


def test_only_teachers_are_led_there(cast, as_user):
    assert reverse("own:index") in text(as_user(cast.teacher).get(reverse("home")))
    assert reverse("own:index") not in text(as_user(cast.examiner).get(reverse("home")))
