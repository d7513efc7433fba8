"""The reagents of the knowledge base against the make-up that published lists give."""

from pathlib import Path

import pytest
import yaml

from examkit.chemistry import formula
from examkit.chemistry.knowledge.load import SHARED

LISTS = yaml.safe_load(Path(__file__).with_name("make_up.yaml").read_text())
WEIGHED = [(x["source"], row) for x in LISTS for row in x["weighed"]]
DILUTED = [(x["source"], row) for x in LISTS for row in x["diluted"]]
REAGENTS = {d["key"]: d for d in (yaml.safe_load(p.read_text()) for p in SHARED.glob("reagents/*.yaml"))}


@pytest.mark.parametrize(("source", "row"), WEIGHED, ids=lambda x: x["solid"] if isinstance(x, dict) else "")
def test_the_molar_mass_gives_the_grams_that_the_list_weighs(source, row):
    grams = row["mol_L"] * formula.molar_mass_g_mol(row["solid"])

    assert grams == pytest.approx(row["grams"], rel=0.02), source


@pytest.mark.parametrize(("source", "row"), DILUTED)
def test_stock_and_strength_give_the_millilitres_that_the_list_measures(source, row):
    assert 1000 * row["mol_L"] / row["stock_mol_L"] == pytest.approx(row["mL"], rel=0.02), source


def test_every_solid_that_is_weighed_by_its_molar_mass_has_a_formula_that_can_be_read():
    for reagent in REAGENTS.values():
        made = reagent.get("made_from", {})
        for solid in filter(None, [made.get("solid"), *(a.get("solid") for a in made.get("additives", []))]):
            assert formula.molar_mass_g_mol(solid) > 0, reagent["key"]


def test_every_reagent_that_is_made_up_says_how_strong_or_how_many_grams():
    for key, reagent in REAGENTS.items():
        made = reagent.get("made_from", {})
        if "solid" in made and reagent["kind"] != "gas":
            assert made.get("g_per_L") or reagent.get("strength_mol_L") or reagent.get("percent_w_v"), key
        if "stock" in made:
            stock = REAGENTS[made["stock"]]
            assert reagent["strength_mol_L"] < stock["strength_mol_L"], key
            assert stock["kind"] == "concentrated", key


@pytest.mark.parametrize("key", [k for k, r in REAGENTS.items() if r["kind"] == "concentrated"])
def test_density_and_mass_per_cent_of_a_stock_give_its_strength(key):
    # OpenStax Chemistry 2e, appendix "Composition of Commercial Acids and Bases"
    stock = REAGENTS[key]
    computed = 10 * stock["density_g_mL"] * stock["percent_w_w"] / formula.molar_mass_g_mol(stock["formula"])

    assert computed == pytest.approx(stock["strength_mol_L"], rel=0.01)


def test_what_dissolves_or_is_added_stands_on_the_shelf_too():
    for key, reagent in REAGENTS.items():
        made = reagent.get("made_from", {})
        others = [
            made.get("solvent"),
            made.get("with"),
            *(a.get("reagent") for a in made.get("additives", [])),
        ]
        assert set(filter(None, others)) <= set(REAGENTS), key
