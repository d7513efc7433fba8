"""Bought acids by density and per cent, and hydrates: against the worked examples of a public training text.

Opened: United States Army Medical Department, "Laboratory Mathematics" (subcourse MD0837), pages of lessons 2, 3
and 5 at armymedical.tpub.com/md0837: Hydrates-cont-Laboratory-Mathematics-66, Variations-of-Molarity-Problems-
Laboratory-Mathematics-85, Determining-the-Concentration-of-Concentrated-Liquids-Laboratory-Mathematics-143.
"""

from decimal import Decimal

import pytest

from examkit.knowledge import knowledge
from examkit.stockroom.amounts import Amount, molar_mass_g_mol, solid_g, stock_mL, strength_mol_L
from examkit.stockroom.errors import StockError
from examkit.stockroom.services import shelf_add
from examkit.stockroom.shelf import Bottle, stock_lines
from examkit.stockroom.shelf_list import shelf_rows
from examkit.stockroom.wording import make_up_steps, with_what


def from_bottle_mL(formula, *, density, percent, grams, in_mL):
    """mL of a bought solution that hold so many grams of what is dissolved."""
    stock = strength_mol_L(formula, density_g_mL=Decimal(density), percent_w_w=Decimal(percent))
    wanted = Decimal(grams) / molar_mass_g_mol(formula) / in_mL * 1000
    return stock_mL(volume_mL=in_mL, strength_mol_L=wanted, stock_mol_L=stock)


def test_hydrochloric_acid_of_38_per_cent_for_250_mL_of_20_g_in_a_decilitre():  # page 143, example 3: 111 mL
    taken = from_bottle_mL("HCl", density="1.19", percent="38.0", grams="50.0", in_mL=250)

    assert float(taken) == pytest.approx(111, rel=0.005)


def test_sulfuric_acid_of_95_per_cent_for_a_mole():  # page 143, example 2: 98.1 g are in 56.1 mL
    taken = from_bottle_mL("H2SO4", density="1.84", percent="95.0", grams="98.1", in_mL=1000)

    assert float(taken) == pytest.approx(56.1, rel=0.003)


def test_the_water_of_a_hydrate_is_weighed_too():  # page 85: 249.6 g/mol, 0.250 L of 2.00 mol/L
    assert float(molar_mass_g_mol("CuSO4.5H2O")) == pytest.approx(249.6, abs=0.15)
    assert float(solid_g("CuSO4.5H2O", volume_mL=250, strength_mol_L=Decimal("2.00"))) == pytest.approx(
        249.6 * 0.250 * 2.00, rel=0.001)


def test_millimoles_of_common_salt():  # page 85: 300 mmol/L in 0.250 L are 4390 mg
    assert float(solid_g("NaCl", volume_mL=250, strength_mol_L=Decimal("0.300"))) == pytest.approx(4.39, rel=0.002)


def test_another_hydrate_is_weighed_by_the_ratio_of_molar_masses():  # page 66: 10.0 g of CuSO4 are 11.1 g of CuSO4.H2O
    assert float(10 * molar_mass_g_mol("CuSO4.H2O") / molar_mass_g_mol("CuSO4")) == pytest.approx(11.1, abs=0.05)


def test_a_recipe_takes_the_hydrate_that_stands_on_the_shelf_and_orders_nothing():
    white = Bottle(1, "CuSO4", Amount(Decimal(100), "g"))
    lines = {line.substance: line for line in stock_lines(
        knowledge(), {"copper-sulfate": Amount(Decimal(240), "mL")}, [white])}
    solid = lines["CuSO4.5H2O"]
    swapped, = solid.swapped

    assert not solid.order
    assert float(swapped.factor) == pytest.approx(159.6 / 249.6, rel=0.005)  # molar masses of pages 66 and 85
    steps = make_up_steps(knowledge(), lines["copper-sulfate"].made, {"CuSO4.5H2O": swapped})
    assert "In its place, from the shelf: CuSO₄, weigh out" in steps[1]


def test_a_sample_is_never_filled_with_another_hydrate():
    white = Bottle(1, "CuSO4", Amount(Decimal(100), "g"))
    line, = stock_lines(knowledge(), {"CuSO4.5H2O": Amount(Decimal(6), "g")}, [white])

    assert not line.swapped
    assert line.order.value == 6


def test_what_the_tubes_take_is_not_counted_as_being_for_recipes():
    white = Bottle(1, "CuSO4", Amount(Decimal(500), "g"))
    needs = {"copper-sulfate": Amount(Decimal(240), "mL"), "CuSO4.5H2O": Amount(Decimal(30), "g")}
    line = next(line for line in stock_lines(knowledge(), needs, [white]) if line.substance == "CuSO4.5H2O")

    assert line.order.value == 30
    assert sum(each.stands_for.value for each in line.swapped) + 30 == line.need.value


@pytest.mark.parametrize(("volume", "tool"), [
    ("0.5", "graduated pipette of 10 mL"), ("10", "graduated pipette of 10 mL"),
    ("12", "measuring cylinder of 25 mL"), ("86", "measuring cylinder of 100 mL"),
    ("2000", "measuring cylinder of 1000 mL")])
def test_a_volume_is_measured_with_the_smallest_that_holds_it(volume, tool):  # common practice, no source
    assert with_what(Decimal(volume)) == tool


@pytest.mark.django_db
def test_a_bottle_with_per_cent_and_density_has_its_strength(centre, assistant):
    item = shelf_add(centre=centre, who=assistant, substance="hydrochloric-acid-concentrated",
                     amount=Decimal(500), percent_w_w=Decimal("38.0"), density_g_mL=Decimal("1.19"), lot="7")

    assert item.strength_mmol_L == 12_402  # 1190 x 0.380 / 36.46
    assert shelf_rows(centre)[0].strength_mol_L == "12.402"


@pytest.mark.django_db
def test_per_cent_without_density_is_refused(centre, assistant):
    with pytest.raises(StockError, match="Give both"):
        shelf_add(centre=centre, who=assistant, substance="hydrochloric-acid-concentrated",
                  amount=Decimal(500), percent_w_w=Decimal(38))


@pytest.mark.django_db
def test_another_hydrate_may_stand_on_the_shelf(centre, assistant):
    assert shelf_add(centre=centre, who=assistant, substance="CuSO4", amount=10).substance == "CuSO4"
