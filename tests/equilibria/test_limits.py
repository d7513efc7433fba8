"""The traps of group separation that only numbers show. Facts of the trade: common practice, no source."""

import pytest

from examkit.chemistry.equilibria.margin import margin_of
from examkit.chemistry.equilibria.solve import mixture, solve


@pytest.fixture
def fraction(kb):
    """Share of an ion that falls from a mixture."""

    def of(ion, totals, **options):
        found = solve(kb.constants, mixture(totals, **options))
        return 1 - found.dissolved[ion] / found.totals[ion]

    return of


def test_lead_in_group_1_turns_from_clear_to_marginal_to_none_as_its_amount_falls(kb, scheme):
    states = [margin_of(kb, scheme, "group-1", "Pb2+", mmol).state for mmol in (0.15, 0.02, 0.001)]

    assert states == ["clear", "marginal", "none"]


def test_lead_stays_in_part_and_is_clear_again_in_group_2(kb, scheme):
    first = margin_of(kb, scheme, "group-1", "Pb2+", 0.15)
    second = margin_of(kb, scheme, "group-2", "Pb2+", 0.15 * (1 - first.fraction))

    assert 0.8 < first.fraction < 0.99
    assert second.state == "clear"


@pytest.mark.parametrize("ion", ["Mg2+", "Mn2+", "Zn2+", "Co2+", "Ni2+"])
def test_ammonium_chloride_keeps_the_divalent_hydroxides_out(fraction, ion):
    salt = {ion: 0.05, "NO3-": 0.10, "NH3": 0.2}

    assert fraction(ion, {**salt, "NH4+": 2.0, "Cl-": 2.0}) < 0.01
    if ion in ("Mg2+", "Mn2+"):  # the others are held by ammonia in any case
        assert fraction(ion, salt) > 0.5


@pytest.mark.parametrize("ion", ["Fe3+", "Al3+", "Cr3+"])
def test_the_trivalent_hydroxides_fall_all_the_same(fraction, ion):
    assert fraction(ion, {ion: 0.05, "NO3-": 0.15, "NH3": 0.4, "NH4+": 2.0, "Cl-": 2.0}) > 0.99


def test_acidity_parts_cadmium_from_zinc(fraction):
    gas = {"saturated": (("H2S", 0.1),)}

    def in_acid(ion, acid):
        return fraction(ion, {ion: 0.05, "NO3-": 0.10, "H+": acid, "Cl-": acid}, **gas)

    assert in_acid("Cd2+", 0.3) > 0.999
    assert in_acid("Zn2+", 0.01) > 0.9
    assert in_acid("Zn2+", 1.0) < 0.05
    assert in_acid("Cd2+", 6.0) < in_acid("Cd2+", 0.3)


def test_strong_alkali_takes_up_the_amphoteric_hydroxides_only(kb, scheme):
    def excess(ion):
        return margin_of(kb, scheme, "naoh", ion, 0.05, None, "tube", "excess").fraction

    assert {ion for ion in ("Pb2+", "Al3+", "Zn2+", "Cr3+") if excess(ion) > 0.01} == set()
    assert all(excess(ion) > 0.9 for ion in ("Cu2+", "Ni2+", "Co2+", "Mn2+", "Mg2+", "Fe3+"))


def test_solubility_of_lead_chloride_in_water_is_near_the_measured_one(kb):
    """About 10.8 g/L at 25 °C, 39 mmol/L: memory. Activities matter: without them it were 16 mmol/L."""
    found = solve(kb.constants, mixture({"Pb2+": 0.1, "Cl-": 0.2}))

    assert found.dissolved["Pb2+"] == pytest.approx(0.039, rel=0.2)


def test_solubility_of_gypsum_is_near_the_measured_one(kb):
    """About 15 mmol/L at 25 °C: memory."""
    found = solve(kb.constants, mixture({"Ca2+": 0.05, "SO4^2-": 0.05}))

    assert found.dissolved["Ca2+"] == pytest.approx(0.015, rel=0.15)
