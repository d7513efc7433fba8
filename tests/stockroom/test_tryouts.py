"""How the bottle of a reagent is tried: where it decides, with a salt that shows it; else by eye.

What each reagent does is common practice, no source.
"""

import pytest

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.demo.exams import POOL
from examkit.knowledge import knowledge
from examkit.models import ShelfItem
from examkit.stockroom.requirements import Seating, reagents_to_ready
from examkit.stockroom.selectors import stock_list
from examkit.stockroom.tryouts import tryouts
from tests.stockroom.drawn import SALTS

MIXTURES = ("Pb(NO3)2 + CuSO4.5H2O", "BaCl2.2H2O + NH4Cl", "Al2(SO4)3.18H2O + MgSO4.7H2O",
            "CrCl3.6H2O + MnCl2.4H2O", "CaCl2.2H2O + SrCl2.6H2O", "AgNO3 + Co(NO3)2.6H2O")


def records(scheme, *salts):
    kb = knowledge()
    return [expect(kb, read_specimen(kb, salt), scheme).as_json() for salt in salts]


def found(*salts, scheme="semimicro", shelf=()):
    """The tryout of each reagent that these salts need."""
    kb, kept = knowledge(), records(scheme, *salts)
    needs = reagents_to_ready(kb, kept, Seating(1, 1, 1), spare_percent=0)
    return {need.reagent: tryouts(kb, kept, need, lambda: records(scheme, *shelf)) for need in needs}


@pytest.fixture(scope="module")
def of_all():
    return found(*SALTS)


@pytest.fixture(scope="module")
def of_demo():
    return found(*POOL)


@pytest.fixture(scope="module")
def of_mixtures():
    return found(*MIXTURES, scheme="mixture")


def test_barium_chloride_is_tried_with_a_sulfate_and_without(of_all):
    each = of_all["barium-chloride"]

    assert "sulfate" in each.with_salt and "white precipitate" in each.shows
    assert "sulfate" not in each.without and each.without


def test_a_reagent_of_one_confirmation_is_told_by_that_way_alone(of_all):
    each = of_all["dimethylglyoxime"]

    assert "nickel" in each.with_salt
    assert each.shows.startswith("ammonia and dimethylglyoxime") and "; or" not in each.shows


@pytest.mark.parametrize(("reagent", "salt", "shows"), [
    ("copper-turnings", "nitrate", "brown gas (NO2)"),
    ("ammonia-concentrated", "chloride", "white fumes with a rod wetted with ammonia"),
    ("hydrochloric-acid-concentrated", "ammonium", "white fumes with a rod of concentrated hydrochloric acid"),
    ("hydrochloric-acid-dilute", "lead(II)", "white crystalline precipitate"),
    ("starch-iodide-paper", "chloride", "starch and potassium iodide paper turns blue"),
    ("litmus-paper-red", "ammonium", "red litmus turns blue"),
    ("litmus-paper-blue", "chloride", "blue litmus turns red"),
    ("lime-water", "carbonate", "lime water turns milky"),
    ("manganese-dioxide", "chloride", "(Cl2)"),
    ("potassium-dichromate-solid", "chloride", "(CrO2Cl2)"),
    ("iron-sulfate", "nitrate", "ring"),
    ("cobalt-nitrate", "zinc", "green residue"),
    ("sulfuric-acid-dilute", "barium", "white precipitate"),
    ("sodium-hydroxide-2M", "copper(II)", "blue"),
    ("hydrogen-sulfide", "copper(II)", "black precipitate"),
])
def test_each_reagent_of_the_demo_is_tried_where_its_own_doing_is_seen(of_demo, reagent, salt, shows):
    each = of_demo[reagent]

    assert salt in each.with_salt and shows in each.shows and not each.check


@pytest.mark.parametrize("reagent", [
    "nitric-acid-dilute", "nitric-acid-concentrated", "acetic-acid-dilute", "ammonium-chloride",
    "lead-acetate-paper", "potassium-dichromate-paper", "bromine-water", "sodium-carbonate-anhydrous"])
def test_what_no_drawn_salt_tells_is_checked_by_eye(of_demo, reagent):
    each = of_demo[reagent]

    assert each.check and not each.with_salt


def test_what_comes_without_the_reagent_proves_nothing_of_it():
    only = found("KI")  # violet with the conc. acid alone, so with copper or manganese dioxide, too

    assert only["copper-turnings"].check and only["manganese-dioxide"].check


def test_where_no_drawn_salt_answers_one_of_the_shelf_does():
    assert found("KBr")["lead-acetate-paper"].check

    each = found("KBr", shelf=["CaCO3", "Na2S.9H2O"])["lead-acetate-paper"]

    assert each.with_salt.startswith("sodium sulfide") and "lead acetate paper turns black" in each.shows


def test_the_reagents_of_a_confirmation_are_not_told_by_the_one_that_adjusts_it(of_mixtures):
    assert "aluminon" in of_mixtures["aluminon"].shows
    assert "Carbonate group" in of_mixtures["ammonium-carbonate"].title
    assert "effervescence" in of_mixtures["acetic-acid-dilute"].shows
    assert of_mixtures["ammonium-polysulfide"].check  # what it leaves black is not its doing


def test_in_place_of_a_mixture_its_salt_is_taken_where_the_shelf_has_it():
    each = found(*MIXTURES, scheme="mixture", shelf=["CuSO4.5H2O", "NH4Cl"])["hydrogen-sulfide"]

    assert each.with_salt == "copper(II) sulfate pentahydrate" and each.without == "ammonium chloride"


def test_what_answers_is_never_the_same_as_what_does_not(of_all, of_mixtures):
    assert all(each.with_salt != each.without for each in (*of_all.values(), *of_mixtures.values())
               if not each.check)


def test_every_reagent_is_tried_or_checked_by_eye(of_all, of_demo, of_mixtures):
    for each in (*of_all.values(), *of_demo.values(), *of_mixtures.values()):
        assert bool(each.shows) != bool(each.check)


@pytest.mark.django_db
def test_the_page_asks_the_salts_of_the_shelf(exam):
    ShelfItem.objects.create(centre=exam.centre, substance="Na2S.9H2O", amount=1000)

    rows = {row.key: row for row in stock_list(exam).reagents}

    assert rows["lead-acetate-paper"].tryout.with_salt.startswith("sodium sulfide")
