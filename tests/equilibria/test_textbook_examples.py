"""Worked examples of OpenStax, Chemistry 2e, chapter 15, with the constants that each example prints.

The book leaves activities out, so here they are 1. "Check" is the "Check Your Learning" below an example.
"""

import pytest

SATURATED = [  # example, reaction, constant, ion, mol/L that the book finds, all of the solid put in (mol/L)
    ("15.2", "CaF2 -> Ca2+ + 2 F-", 3.98e-11, {"Ca2+": 1, "F-": 2}, "Ca2+", 2.15e-4),
    ("15.2 check", "Mg(OH)2 -> Mg2+ + 2 OH-", 8.99e-12, {"Mg2+": 1, "OH-": 2}, "Mg2+", 1.31e-4),
    ("15.3", "CuBr -> Cu+ + Br-", 6.3e-9, {"Cu+": 1, "Br-": 1}, "Cu+", 7.9e-5),
    ("15.3 check", "AgI -> Ag+ + I-", 1.5e-16, {"Ag+": 1, "I-": 1}, "Ag+", 1.2e-8),
    ("15.4", "Ca(OH)2 -> Ca2+ + 2 OH-", 1.3e-6, {"Ca2+": 1, "OH-": 2}, "Ca2+", 6.9e-3),
    ("15.4 check", "PbI2 -> Pb2+ + 2 I-", 1.4e-8, {"Pb2+": 1, "I-": 2}, "Pb2+", 1.5e-3),
    ("15.5", "PbCrO4 -> Pb2+ + CrO4^2-", 2.0e-16, {"Pb2+": 1, "CrO4^2-": 1}, "Pb2+", 1.4e-8),
    ("15.6", "Hg2Cl2 -> Hg2^2+ + 2 Cl-", 1.1e-18, {"Hg2^2+": 1, "Cl-": 2}, "Hg2^2+", 6.5e-7),
    ("15.6 check", "MgF2 -> Mg2+ + 2 F-", 6.4e-9, {"Mg2+": 1, "F-": 2}, "Mg2+", 1.2e-3),
]
PREDICTED = [  # example, reaction, constant, mixture, log10(Q / K) from the Q that the book prints
    ("15.7", "Mg(OH)2 -> Mg2+ + 2 OH-", 8.9e-12, {"Mg2+": 0.0537, "OH-": 0.0010}, 3.78),
    ("15.7 check", "CaHPO4 -> Ca2+ + HPO4^2-", 7e-7, {"Ca2+": 0.0001, "HPO4^2-": 0.001}, -0.85),
    ("15.8", "AgCl -> Ag+ + Cl-", 1.6e-10, {"Ag+": 1.0e-4, "Cl-": 1.0e-4}, 1.80),
    ("15.8 check", "KClO4 -> K+ + ClO4-", 1.05e-2, {"K+": 0.010, "ClO4-": 0.40}, -0.42),
    ("15.9", "CaC2O4.H2O -> Ca2+ + C2O4^2- + H2O", 1.96e-8, {"Ca2+": 2.2e-3, "C2O4^2-": 8.9e-6}, 0.0),
    ("15.9 check", "Ag2CrO4 -> 2 Ag+ + CrO4^2-", 9.0e-12, {"Ag+": 6.7e-5, "CrO4^2-": 0.0020}, 0.0),
    ("15.10", "Mn(OH)2 -> Mn2+ + 2 OH-", 2e-13, {"Mn2+": 1.8e-6, "OH-": 3.3e-4}, 0.0),
    ("15.10 check", "Mg(OH)2 -> Mg2+ + 2 OH-", 8.9e-12, {"Mg2+": 1.0e-5, "OH-": 10**-3.03}, 0.0),
    ("15.11", "AgBr -> Ag+ + Br-", 5.0e-13, {"Ag+": 5.0e-9, "Br-": 1.0e-4}, 0.0),
    ("15.11", "AgCl -> Ag+ + Cl-", 1.6e-10, {"Ag+": 1.6e-9, "Cl-": 0.10}, 0.0),
]


@pytest.mark.parametrize(("name", "reaction", "K", "falls_into", "ion", "answer"), SATURATED)
def test_molar_solubility_is_the_books(example, name, reaction, K, falls_into, ion, answer):
    found = example(reaction, K, {species: 0.1 * count for species, count in falls_into.items()})

    assert found.dissolved[ion] == pytest.approx(answer, rel=0.04)


@pytest.mark.parametrize(("name", "reaction", "K", "totals", "answer"), PREDICTED)
def test_distance_from_the_limit_is_that_of_the_books_quotient(example, name, reaction, K, totals, answer):
    found = example(reaction, K, totals)

    (index,) = found.saturation.values()
    assert index == pytest.approx(answer, abs=0.03)
    assert bool(found.solids) == (index > 0)


def test_aluminium_hydroxide_in_an_acetate_buffer(example):
    """Example 15.15 (b): 1.2e-4 mol/L dissolves; the little that the buffer gives way is allowed for."""
    acid = ("CH3COOH -> H+ + CH3COO-", "acids", "CH3COOH", 1.8e-5)
    totals = {"CH3COOH": 0.100, "CH3COO-": 0.100, "Al3+": 1.5e-4, "OH-": 4.5e-4}

    found = example("Al(OH)3 -> Al3+ + 3 OH-", 2e-32, totals, acid)

    assert found.pH == pytest.approx(4.74, abs=0.01)
    assert found.dissolved["Al3+"] == pytest.approx(1.2e-4, rel=0.05)


@pytest.mark.parametrize(("share", "clear"), [(0.95, False), (1.05, True)])
def test_silver_chloride_in_ammonia(example, share, clear):
    """Example 15.16 check: 4.81 g of ammonia to a litre just dissolve 2.00 g of silver chloride."""
    ammine = ("Ag+ + 2 NH3 -> [Ag(NH3)2]+", "complexes", "[Ag(NH3)2]+", 1.7e7)
    totals = {"Ag+": 2.00 / 143.32, "Cl-": 2.00 / 143.32, "NH3": share * 4.81 / 17.03}

    assert (not example("AgCl -> Ag+ + Cl-", 1.6e-10, totals, ammine).solids) == clear


@pytest.mark.parametrize(("grams", "clear"), [(1.5, False), (2.0, True)])
def test_silver_bromide_in_thiosulfate(example, grams, clear):
    """Example 15.16: about 1.7 g of sodium thiosulfate to a litre dissolve 1.00 g of silver bromide.

    The book forgets the thiosulfate that the complex holds in its last step, but not in its answer.
    """
    hypo = ("Ag+ + 2 S2O3^2- -> [Ag(S2O3)2]3-", "complexes", "[Ag(S2O3)2]3-", 4.7e13)
    totals = {"Ag+": 1 / 187.77, "Br-": 1 / 187.77, "S2O3^2-": grams / 158.1}

    assert (not example("AgBr -> Ag+ + Br-", 5.0e-13, totals, hypo).solids) == clear
