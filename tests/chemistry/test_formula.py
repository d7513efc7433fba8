"""Formulas and equations: what they are made of, weigh, and whether they balance."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from molmass import Formula as MolmassFormula

from examkit.chemistry.errors import FormulaError
from examkit.chemistry.formula import (
    check_equation,
    molar_mass_g_mol,
    parse,
    pretty,
    pretty_equation,
    split_charge,
    water_of,
)
from examkit.chemistry.knowledge.load import load


@pytest.mark.parametrize(
    ("text", "charge"),
    [
        ("Zn2+", 2),
        ("NH4+", 1),
        ("Hg2^2+", 2),
        ("SO4^2-", -2),
        ("S^2-", -2),
        ("NO3-", -1),
        ("I3^-", -1),
        ("[Ni(NH3)6]2+", 2),
        ("[Ag(NH3)2]+", 1),
        ("CH3COO-", -1),
        ("NiCl2.6H2O", 0),
        ("e-", -1),
    ],
)
def test_the_charge_is_read_as_chemists_write_it(text, charge):
    assert parse(text).charge == charge


def test_brackets_and_crystal_water_are_multiplied_out():
    assert dict(parse("Cu(NO3)2.3H2O").elements) == {"Cu": 1, "N": 2, "O": 9, "H": 6}


@pytest.mark.parametrize("text", ["Xx2", "Pb(NO3", "PbNO3)2", "2", "Pb Cl2", ""])
def test_what_is_no_formula_is_refused(text):
    with pytest.raises(FormulaError):
        parse(text)


WHOLE = sorted(formula for formula in load().salts if "/" not in formula)  # molmass reads no 8/3 H2O


@pytest.mark.parametrize("formula", WHOLE)
def test_molar_masses_agree_with_a_reference_library(formula):
    """Source: the molmass library, which reads the formula itself."""
    parts = [re.match(r"(\d*)(.*)", part).groups() for part in formula.split(".")]
    theirs = sum(int(count or 1) * MolmassFormula(body).mass for count, body in parts)

    assert molar_mass_g_mol(formula) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(
    ("formula", "grams"),
    [
        ("CuSO4.5H2O", 249.69),
        ("Pb(NO3)2", 331.21),
        ("KAl(SO4)2.12H2O", 474.39),
        ("AgNO3", 169.87),
    ],
)
def test_molar_masses_of_common_salts(formula, grams):
    """Source: values printed on reagent labels, from memory; standard atomic weights give the same."""
    assert molar_mass_g_mol(formula) == pytest.approx(grams, abs=0.02)


def test_crystal_water_is_counted_in_molecules():
    assert [water_of(text) for text in ("NiCl2.6H2O", "CaSO4.1/2H2O", "NaCl", "CuCO3.Cu(OH)2")] == [
        6,
        0.5,
        0,
        0,
    ]


def test_formulas_are_set_with_sub_and_superscripts():
    assert pretty("SO4^2-") == "SO₄²⁻"
    assert pretty_equation("Zn2+ + 2 OH- -> Zn(OH)2") == "Zn²⁺ + 2 OH⁻ → Zn(OH)₂"


def test_a_balanced_equation_passes():
    check_equation("2 MnO4- + 5 C2O4^2- + 16 H+ -> 2 Mn2+ + 10 CO2 + 8 H2O")


@pytest.mark.parametrize(
    ("equation", "words"),
    [
        ("Zn2+ + OH- -> Zn(OH)2", "charge +1"),
        ("Zn2+ + 2 OH-", "exactly one ' -> '"),
        ("Fe -> Fe2+", "charge -2"),
        ("2H2 + O2 -> 2 H2O", "does not balance|not a coefficient"),
    ],
)
def test_an_equation_that_does_not_balance_says_what_is_left_over(equation, words):
    with pytest.raises(FormulaError, match=words.replace("+", r"\+")):
        check_equation(equation)


@given(st.text(max_size=40))
def test_any_text_is_a_formula_or_refused_in_our_own_words(text):
    try:
        parse(text)
    except FormulaError:
        pass


@given(st.sampled_from(sorted(load().ions)))
def test_an_ion_without_its_charge_has_the_same_elements(ion):
    body, _charge = split_charge(ion)

    assert parse(body).elements == parse(ion).elements
