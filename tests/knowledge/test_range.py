"""The base holds what the trade asks for: every ion and its names, real salts, tests told in full, refusals.

The lists are common practice, no source; CAS numbers are checked by their own check digit.
"""

import pytest

from examkit.chemistry import formula
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import find_ion, find_salt

KB = load()
CATIONS = (
    "NH4+ Ag+ Pb2+ Hg2^2+ Hg2+ Cu2+ Bi3+ Cd2+ As3+ As5+ Sb3+ Sn2+ Sn4+ Fe2+ Fe3+ Al3+ Cr3+ Co2+ Ni2+ Mn2+ Zn2+ "
    "Ba2+ Sr2+ Ca2+ Mg2+ Na+ K+ Li+"
).split()
ANIONS = (
    "CO3^2- HCO3- SO3^2- S2O3^2- S^2- NO2- CH3COO- Cl- Br- I- NO3- C2O4^2- SO4^2- PO4^3- B4O7^2- F- CrO4^2- "
    "Cr2O7^2- MnO4- AsO4^3- AsO2- SCN-"
).split()
CALLED = {
    "Ni2+": ["nickel", "nickelous", "nickel(II)", "Ni(II)", "Ni++", "Ni²⁺", "nickel ion", "Ni2+"],
    "Fe2+": ["ferrous", "iron(II)", "Fe(II)"],
    "Fe3+": ["ferric", "iron(III)", "Fe+++"],
    "Sn2+": ["stannous", "tin(II)"],
    "Sn4+": ["stannic", "tin(IV)"],
    "Pb2+": ["plumbous", "lead"],
    "Hg2^2+": ["mercurous", "mercury(I)"],
    "Hg2+": ["mercuric", "mercury(II)"],
    "SO4^2-": ["sulfate", "sulphate", "SO4--", "SO4²⁻"],
}
REFUSED = {
    "Al2(CO3)3": "hydrolyses", "Fe2(CO3)3": "hydrolyses", "CuI2": "iodine", "FeI3": "iodine", "AgF": "glass", "Cr2S3": "water"
}


def check_digit(cas):
    """The last digit that a CAS number must have."""
    digits = [int(d) for d in cas.replace("-", "")[:-1]]
    return sum(place * digit for place, digit in enumerate(reversed(digits), start=1)) % 10


def test_every_cation_and_anion_of_the_trade_has_a_file():
    assert [ion for ion in (*CATIONS, *ANIONS) if ion not in KB.ions] == []


def test_every_ion_is_had_from_some_salt_but_arsenic_v_which_is_an_anion():
    held = {ion for salt in KB.salts.values() for ion in salt.ions}

    assert set(KB.ions) - held == {"As5+"}


@pytest.mark.parametrize(("ion", "name"), [(ion, name) for ion, names in CALLED.items() for name in names])
def test_an_ion_is_known_by_its_old_names_its_new_names_and_its_symbols(ion, name):
    assert find_ion(KB, name).formula == ion


def test_no_cyanide_anywhere():
    for salt in KB.salts:
        assert "CN" not in salt.replace("SCN", ""), salt
    for scheme in KB.schemes.values():
        assert "CN-" not in scheme.anions


def test_there_are_enough_salts_each_told_in_full():
    assert len(KB.salts) >= 150
    for salt in KB.salts.values():
        assert salt.colour and salt.form and salt.keeping and salt.sources and salt.hazard_sources, salt.formula
        assert salt.dissolves_in == "nothing" or salt.solution, salt.formula


@pytest.mark.parametrize("salt", sorted(KB.salts))
def test_a_cas_number_has_its_check_digit(salt):
    cas = KB.salts[salt].cas

    assert cas.count("-") == 2 and int(cas[-1]) == check_digit(cas)


def test_no_two_salts_have_one_cas_number():
    numbers = [salt.cas for salt in KB.salts.values()]

    assert sorted({number for number in numbers if numbers.count(number) > 1}) == []


@pytest.mark.parametrize("test", sorted(KB.tests))
def test_a_test_says_why_how_with_what_and_what_to_look_for(test):
    here = KB.tests[test]

    assert here.purpose and here.procedure and here.cautions and here.facets and here.sources
    assert here.apparatus or not here.operations
    for facet in here.facets.values():
        assert facet.title


@pytest.mark.parametrize("reagent", sorted(KB.reagents))
def test_a_solution_says_how_strong_it_is(reagent):
    here = KB.reagents[reagent]

    if here.kind == "solution" and here.formula:
        assert here.strength_mol_L or here.percent_w_v or here.percent_w_w or "saturated" in here.name + here.procedure


@pytest.mark.parametrize(("pair", "why"), REFUSED.items())
def test_what_does_not_exist_or_keep_is_refused(pair, why):
    with pytest.raises(UnknownSubject, match=why):
        find_salt(KB, pair)


def test_each_scheme_names_groups_of_its_own():
    named = {key: list(scheme.groups) for key, scheme in KB.schemes.items()}

    assert ["III", "IV"] == [g for g in named["school-groups"] if g in ("III", "IV")]
    assert ["IIIA", "IIIB"] == [g for g in named["semimicro"] if g in ("IIIA", "IIIB")]
    assert all(formula.parse(ion).charge > 0 for s in KB.schemes.values() for g in s.groups.values() for ion in g["cations"])
