"""Rounding, molar masses, make-up: against a textbook's worked examples, and for any amount at all."""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from molmass import Formula

from examkit.knowledge import knowledge
from examkit.stockroom import amounts
from examkit.stockroom.amounts import Amount
from examkit.stockroom.errors import StockError, StockTooWeak

BOOK = yaml.safe_load(Path(__file__).with_name("make_up.yaml").read_text())
DECIMALS = st.decimals(min_value="0.001", max_value=10_000, places=3)


@pytest.mark.parametrize("row", BOOK["weighed"], ids=lambda row: row["solid"])
def test_the_mass_to_weigh_is_that_of_the_textbook(row):
    grams = amounts.solid_g(row["solid"], volume_mL=Decimal(row["mL"]), strength_mol_L=Decimal(row["mol_L"]))

    assert float(grams) == pytest.approx(float(row["grams"]), rel=0.01), row["at"]


@pytest.mark.parametrize("row", BOOK["diluted"], ids=lambda row: row["stock_mol_L"])
def test_the_volume_of_stock_is_that_of_the_textbook(row):
    volume_mL = amounts.stock_mL(volume_mL=Decimal(row["mL"]), strength_mol_L=Decimal(row["mol_L"]),
                                 stock_mol_L=Decimal(row["stock_mol_L"]))

    assert float(volume_mL) == pytest.approx(float(row["stock_mL"]), rel=0.015), row["at"]


STOCKS = [r for r in knowledge().reagents.values() if r.kind == "concentrated" and r.density_g_mL]


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.key)
def test_density_and_per_cent_give_the_strength_of_a_bought_stock(stock):
    # OpenStax, Chemistry 2e, module m68864, composition of commercial acids and bases: all three columns
    strength = amounts.strength_mol_L(
        stock.formula, density_g_mL=stock.density_g_mL, percent_w_w=stock.percent_w_w)

    assert float(strength) == pytest.approx(stock.strength_mol_L, rel=0.01)


def test_molar_masses_of_all_salts_agree_with_molmass_with_the_water_written_out():
    for salt in knowledge().salts.values():
        whole = sum(_part(part) for part in salt.formula.split("."))

        assert float(amounts.molar_mass_g_mol(salt.formula)) == pytest.approx(float(whole), abs=0.01), salt.formula


def _part(part):
    """The molar mass of one part of a hydrate, 6H2O as six times H2O (and 1/2H2O as half of it)."""
    digits = part[:len(part) - len(part.lstrip("0123456789/"))]
    return Fraction(digits or 1) * Fraction(Formula(part[len(digits):]).mass)


def test_a_stock_weaker_than_wanted_is_refused_with_a_way_out():
    with pytest.raises(StockTooWeak, match="weaker.*Take a stronger stock"):
        amounts.stock_mL(volume_mL=100, strength_mol_L=Decimal("2"), stock_mol_L=Decimal("0.5"))


def test_a_negative_spare_is_refused():
    with pytest.raises(StockError, match="Give 0 or more"):
        amounts.with_spare(10, -1)


def test_grams_and_millilitres_do_not_add_up():
    with pytest.raises(StockError, match="one unit"):
        Amount(Decimal(1), "g") + Amount(Decimal(1), "mL")


def test_floats_of_the_knowledge_base_are_taken_as_they_were_written():
    assert amounts.exact(0.1) + amounts.exact(0.2) == Decimal("0.3")


@given(DECIMALS)
def test_what_is_put_ready_is_never_less_than_needed_and_shows_on_the_balance(grams):
    ready = Amount(grams, "g").ready.value

    assert grams <= ready < grams + amounts.BALANCE_g
    assert ready % amounts.BALANCE_g == 0


@given(DECIMALS)
def test_a_measured_volume_is_never_less_than_needed_and_less_than_one_mark_more(volume_mL):
    measured = amounts.measured_mL(volume_mL)

    assert volume_mL <= measured <= volume_mL + 10
    assert measured == measured.to_integral_value()


@given(DECIMALS)
def test_a_flask_holds_what_is_needed_and_no_smaller_one_would(volume_mL):
    flask = amounts.flask_mL(volume_mL)

    assert flask >= volume_mL
    assert all(smaller < volume_mL for smaller in amounts.FLASKS_mL if smaller < flask)


@given(st.integers(0, 5000), st.integers(0, 100))
def test_spare_pieces_are_whole_and_at_least_the_spare(pieces, percent):
    total = amounts.spare_pieces(pieces, percent)

    assert total * 100 >= pieces * (100 + percent) > (total - 1) * 100 or total == pieces == 0


@given(DECIMALS, DECIMALS, st.decimals(min_value=1, max_value=100, places=2))
def test_dilution_keeps_the_moles(volume_mL, strength, factor):
    stock = amounts.stock_mL(volume_mL=volume_mL, strength_mol_L=strength, stock_mol_L=strength * factor)

    assert stock * strength * factor == pytest.approx(volume_mL * strength)
    assert stock <= volume_mL


def test_one_strip_is_one_strip():
    assert str(Amount(Decimal(1), "strips")) == "1\u00a0strip"
    assert str(Amount(Decimal(2), "strips")) == "2\u00a0strips"
