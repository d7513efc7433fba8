"""The look-up pages: what they show, and that every ion, salt, test, reagent and scheme has one."""

import html
import re

import pytest
from django.urls import reverse

from examkit.knowledge import knowledge

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(as_user, examiner):
    """`page("lookup:salt", "NaCl")` -> the response, as an examiner sees it."""
    client = as_user(examiner)
    return lambda name, *args, **query: client.get(reverse(name, args=args), query)


def words(response):
    """The text of a page: without its tags, one space between words."""
    text = html.unescape(re.sub(r"<[^>]+>", "", response.content.decode()))
    return re.sub(r"\s+", " ", text)


def test_a_salt_shows_its_expected_record(page):
    shown = words(page("lookup:salt", "NiCl2.6H2O"))

    assert "NiCl₂·6H₂O" in shown
    assert "pale green or apple green gelatinous precipitate" in shown
    assert "Ni²⁺ + 2 OH⁻ → Ni(OH)₂" in shown
    assert "safety data sheet" in shown


def test_a_salt_says_what_old_stock_is_and_what_the_extract_leaves_shut(page):
    old, shut, plain = (words(page("lookup:salt", name)) for name in ("FeSO4.7H2O", "AgCl", "NaCl"))

    assert "Fe²⁺ → Fe³⁺: what that shows is accepted" in old
    assert "does not open it" in shut
    assert "Old stock" not in plain and "does not open it" not in plain


def test_a_line_says_why_and_what_would_have_been_seen_otherwise_and_with_which_ions(page):
    kb = knowledge()
    shown = words(page("lookup:salt", "NiCl2.6H2O"))

    assert kb.tests["naoh"].purpose in shown
    assert re.search(r"white (gelatinous )?precipitate, dissolves in excess to a colourless solution ?Pb²⁺", shown)
    assert kb.tests["flame"].cautions[0] in shown


def test_each_colour_word_has_its_swatch_beside_it_in_beads_and_flames_too(page):
    kb = knowledge()
    lilac, brown = (kb.colours[word].swatch for word in ("lilac", "reddish brown"))

    assert re.search(rf'fill="{lilac}"/></svg>lilac</span>', page("lookup:test", "flame").content.decode())
    assert re.search(rf'fill="{brown}"/></svg>reddish brown</span>', page("lookup:ion", "Ni2+").content.decode())


def test_a_test_shows_what_each_ion_does_and_which_are_silent(page):
    shown = page("lookup:test", "flame").content.decode()

    assert "brick red" in shown and "lilac" in shown
    assert shown.index("Nothing is seen with") < shown.index("/chemistry/ions/Zn2+/")


def test_a_test_lists_its_outcomes_with_the_ions_that_show_them(page):
    assert re.search(r"black precipitate ?Pb²⁺, Cu²⁺", words(page("lookup:test", "group-2")))


def test_a_procedure_with_a_list_is_set_as_a_list(page):
    shown = page("lookup:test", "confirm-cation").content.decode()

    assert "<li><strong>aluminon</strong>: acidify" in shown and "calls for:</p>" in shown


def test_an_ion_shows_its_tests_and_its_salts(page):
    shown = words(page("lookup:ion", "SO4^2-"))

    assert "white precipitate, insoluble in dilute HCl" in shown
    assert "zinc sulfate" in shown


def test_a_cation_names_its_group_and_the_reagent(page):
    assert "Group IIIB: hydrogen sulfide in ammonia." in words(page("lookup:ion", "Zn2+"))


def test_a_reagent_shows_strength_make_up_hazards_keeping_and_its_tests(page):
    shown = words(page("lookup:reagent", "ammonia-dilute"))

    assert "NH₃, 4.0 mol/L" in shown
    assert "strong solution: ammonia" in shown
    assert "H314" in shown and "loses ammonia" in shown
    assert "Ammonia solution, 2" in shown.split("Used by")[1]


def test_a_mixture_stands_in_the_address(page):
    shown = words(page("lookup:specimen", salts="Pb(NO3)2+ZnCO3", scheme="mixture"))

    assert "Pb(NO₃)₂ + ZnCO₃" in shown and "Confirmation of the cation" in shown


@pytest.mark.parametrize("written", ["Pb(NO3)2 + ZnCO3", "Pb(NO3)2+ZnCO3", "Pb(NO3)2 ZnCO3", "lead nitrate + zinc carbonate"])
def test_a_mixture_is_read_however_its_plus_was_written(page, written):
    assert page("lookup:specimen", salts=written).context["chosen"] == "Pb(NO3)2 + ZnCO3"


def test_a_mixture_with_an_unknown_salt_is_said_with_near_names(page):
    assert "No salt is called 'PbCl7'" in words(page("lookup:specimen", salts="PbCl7 + ZnCO3"))


def test_a_scheme_shows_groups_reagents_and_tests_in_order(page):
    shown = words(page("lookup:scheme", "semimicro"))

    assert re.search(r"IIIA ?ammonium chloride and ammonia ?Fe³⁺", shown)
    assert shown.index("Flame") < shown.index("Borax bead") < shown.index("Barium chloride")


def test_the_way_of_a_mixture_is_a_picture_with_its_text_beside_it(page):
    response = page("lookup:scheme", "mixture", salts="Pb(NO3)2 + ZnCO3")
    svg = re.search(r"<svg class=\"way\".*?</svg>", response.content.decode(), re.S)[0]

    assert 'role="img"' in svg and 'aria-describedby="way-in-words"' in svg
    assert "falls: Zn²⁺" in svg and "chloride precipitate" in svg
    assert "falls: Zn²⁺" in words(response).split("The same in words")[1]


@pytest.mark.parametrize(("wanted", "name", "key"), [
    ("nickel chloride", "salt", "NiCl2.6H2O"), ("Zn2+", "ion", "Zn2+"), ("flame", "test", "flame"),
    ("Sodium hydroxide", "test", "naoh"), ("ammonia solution, dilute", "reagent", "ammonia-dilute"),
    ("phlogiston", None, None),
])
def test_the_search_finds_salts_ions_tests_and_reagents(page, wanted, name, key):
    found = page("lookup:index", q=wanted)

    if name:
        assert found.url == reverse(f"lookup:{name}", args=[key])
    else:
        assert "Nothing is called “phlogiston”" in found.content.decode()


@pytest.mark.parametrize(("name", "key"), [
    ("salt", "PbCl7"), ("ion", "Xx2+"), ("test", "alchemy"), ("reagent", "aether"), ("scheme", "none-such"),
])
def test_what_is_not_known_is_not_found(page, name, key):
    assert page(f"lookup:{name}", key).status_code == 404


@pytest.mark.parametrize("name", ["index", "specimen", "identification"])
def test_an_unknown_scheme_is_not_found(page, name):
    assert page(f"lookup:{name}", scheme="none-such").status_code == 404


def test_every_ion_test_reagent_and_scheme_has_its_page(page):
    kb = knowledge()
    for kind in ("ion", "test", "reagent", "scheme"):
        for key in getattr(kb, f"{kind}s"):
            assert page(f"lookup:{kind}", key).status_code == 200, key


def test_every_salt_has_an_address(page):
    for formula in knowledge().salts:
        assert reverse("lookup:salt", args=[formula])
    assert page("lookup:salt", "CdCl2.5/2H2O").status_code == 200
