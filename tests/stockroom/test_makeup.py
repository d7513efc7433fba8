"""Recipes: against two published lists of a litre each, and each kind of make-up once."""

from dataclasses import replace
from decimal import Decimal

import pytest

from examkit.knowledge import knowledge
from examkit.stockroom.amounts import Amount
from examkit.stockroom.errors import StockError, StockTooWeak, UnknownSubstance
from examkit.stockroom.makeup import ACID, ADDITIVE, SOLVENT, STOCK, dilution, recipe, strength_of
from examkit.stockroom.wording import make_up_steps

# grams or mL for one litre, as published:
# a) School Science Lessons, "Prepare chemicals", 2024-12-28, sections 11.0, 13.0, table 5.4.1.0
# b) "Chemical tests for inorganic anions: Part I", February 2016, reagents A and B
# c) AOAC 935.68 (o), magnesia mixture, 5.5 g and 14.0 g and 13 mL to 100 mL
LITRES = [
    ("sodium-hydroxide-2M", "80"),         # a
    ("potassium-iodide", "16.6"),          # a
    ("copper-sulfate", "25"),              # a
    ("potassium-dichromate", "29.4"),      # a
    ("calcium-chloride", "14.7"),          # a
    ("iron-sulfate", "139"),               # a, 0.5 mol/L
    ("silver-nitrate", "16.99"),           # b
    ("lead-acetate", "95"),                # b, 0.25 mol/L
    ("lime-water", "10"),                  # a, to be poured off
    ("magnesia-mixture", "55"),            # c
    ("acetic-acid-dilute", "115"),         # a: 172 mL for 3 mol/L, so two thirds
]


def litre(key):
    return recipe(knowledge(), key, Amount(Decimal(1000), "mL"))


@pytest.mark.parametrize(("key", "published"), LITRES)
def test_a_litre_takes_what_the_published_list_says(key, published):
    assert float(litre(key).ingredients[0].amount.value) == pytest.approx(float(published), rel=0.02)


def test_half_the_volume_takes_half_of_everything():
    whole, half = litre("magnesia-mixture"), recipe(knowledge(), "magnesia-mixture", Amount(Decimal(500), "mL"))

    for one, other in zip(whole.ingredients, half.ingredients, strict=True):
        assert float(one.amount.value) == pytest.approx(2 * float(other.amount.value), rel=0.02)


def test_a_dilution_says_the_strength_of_its_stock():
    made = litre("hydrochloric-acid-dilute")

    assert (made.ingredients[0].role, made.stock_mol_L) == (STOCK, Decimal("11.6"))
    assert made.ingredients[0].amount.value == Decimal(345)  # 1000 x 4.0 / 11.6


def test_additives_are_measured_too():
    extras = [i for i in litre("iron-chloride").ingredients if i.role == ADDITIVE]

    assert [(i.substance, str(i.amount.value)) for i in extras] == [("hydrochloric-acid-concentrated", "20")]


def test_another_solvent_than_water_is_put_ready():
    assert [i.substance for i in litre("dimethylglyoxime").ingredients if i.role == SOLVENT] == ["ethanol"]


def test_a_gas_gets_twice_the_acid_of_its_equation():
    # FeS + 2 H+: 8.79 g are 0.1 mol, which takes 0.2 mol of acid, 50 mL of 4 mol/L; twice that is 100 mL
    made = recipe(knowledge(), "hydrogen-sulfide", Amount(Decimal("8.79"), "g"))
    acid, = [i for i in made.ingredients if i.role == ACID]

    assert acid.amount.value == Decimal(100)


def test_what_is_used_as_bought_has_no_recipe():
    assert litre("cyclohexane") is None


def test_a_stock_that_is_too_weak_is_refused():
    with pytest.raises(StockTooWeak):
        dilution(knowledge(), "hydrochloric-acid-dilute", Amount(Decimal(100), "mL"),
                 "hydrochloric-acid-concentrated", stock_mol_L=Decimal("3.9"))


def test_an_unknown_reagent_is_refused_by_name():
    with pytest.raises(UnknownSubstance, match="philosophers-stone"):
        recipe(knowledge(), "philosophers-stone", Amount(Decimal(1), "mL"))


def test_a_reagent_without_strength_cannot_be_diluted():
    with pytest.raises(StockError, match="Make it from the solid"):
        dilution(knowledge(), "starch", Amount(Decimal(1), "mL"), "starch", stock_mol_L=None)


def test_strength_is_computed_where_only_density_and_per_cent_are_known():
    bought = replace(knowledge().reagents["nitric-acid-concentrated"], strength_mol_L=None)

    assert float(strength_of(bought)) == pytest.approx(16.0, rel=0.01)


def test_the_steps_say_acid_into_water_and_end_with_a_label():
    steps = make_up_steps(knowledge(), litre("sulfuric-acid-dilute"))

    assert "measure" in steps[0]
    assert "never" in steps[1] or "never" in " ".join(steps)
    assert "Label the bottle" in steps[-1]


def test_every_reagent_of_the_shelf_can_be_made_up_and_told():
    kb = knowledge()
    for key, reagent in kb.reagents.items():
        unit = "g" if reagent.kind in ("gas", "solid") else "mL"
        made = recipe(kb, key, Amount(Decimal(250), unit))
        if made:
            assert all(i.amount.value > 0 for i in made.ingredients), key
            assert all(make_up_steps(kb, made)), key
