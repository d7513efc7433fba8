"""The look-up pages: what they show, and that every ion, salt and test has one."""

import pytest
from django.urls import reverse

from examkit.knowledge import knowledge

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(as_user, examiner):
    """`page("lookup:salt", "NaCl")` -> the response, as an examiner sees it."""
    client = as_user(examiner)
    return lambda name, *args, **query: client.get(reverse(name, args=args), query)


def test_a_salt_shows_its_expected_record(page):
    shown = page("lookup:salt", "NiCl2.6H2O").content.decode()

    assert "NiCl₂·6H₂O" in shown
    assert "pale green or apple green gelatinous precipitate" in shown
    assert "Ni²⁺ + 2 OH⁻ → Ni(OH)₂" in shown
    assert "safety data sheet" in shown


def test_a_test_shows_what_each_ion_does_and_which_are_silent(page):
    shown = page("lookup:test", "flame").content.decode()

    assert "brick red" in shown and "lilac" in shown
    assert shown.index("Nothing is seen with") < shown.index("/chemistry/ions/Zn2+/")


def test_an_ion_shows_its_tests_and_its_salts(page):
    shown = page("lookup:ion", "SO4^2-").content.decode()

    assert "white precipitate, insoluble in dilute HCl" in shown
    assert "zinc sulfate" in shown


@pytest.mark.parametrize(("wanted", "name", "key"), [
    ("nickel chloride", "salt", "NiCl2.6H2O"), ("Zn2+", "ion", "Zn2+"), ("flame", "test", "flame"),
    ("Sodium hydroxide", "test", "naoh"), ("phlogiston", None, None),
])
def test_the_search_finds_salts_ions_and_tests(page, wanted, name, key):
    found = page("lookup:index", q=wanted)

    if name:
        assert found.url == reverse(f"lookup:{name}", args=[key])
    else:
        assert "Nothing is called “phlogiston”" in found.content.decode()


@pytest.mark.parametrize(("name", "key"), [("salt", "PbCl7"), ("ion", "Xx2+"), ("test", "alchemy")])
def test_what_is_not_known_is_not_found(page, name, key):
    assert page(f"lookup:{name}", key).status_code == 404


def test_an_unknown_scheme_is_not_found(page):
    assert page("lookup:index", scheme="none-such").status_code == 404


def test_every_ion_and_test_has_its_page(page):
    kb = knowledge()
    for ion in kb.schemes["semimicro"].cations:
        assert page("lookup:ion", ion).status_code == 200
    for test in kb.tests:
        assert page("lookup:test", test).status_code == 200
