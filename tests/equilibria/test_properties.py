"""What must hold for any mixture: mass is kept, more of a reagent takes more out, acid dissolves sulfides."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.equilibria.species import book
from examkit.chemistry.knowledge.load import load

CATIONS = ["Pb2+", "Cu2+", "Fe3+", "Al3+", "Co2+", "Ni2+", "Mn2+", "Zn2+", "Ba2+", "Sr2+", "Ca2+", "Mg2+"]
ANIONS = ["Cl-", "NO3-", "SO4^2-", "C2O4^2-", "CO3^2-", "CH3COO-", "I-"]
AMOUNT = st.floats(0.001, 0.15)
QUICK = settings(max_examples=40, deadline=None)
STEP = 1e-6


@QUICK
@given(
    st.dictionaries(st.sampled_from(CATIONS), AMOUNT, min_size=1, max_size=4),
    st.dictionaries(st.sampled_from(ANIONS), AMOUNT, min_size=1, max_size=3),
)
def test_what_fell_and_what_stayed_add_up_to_what_was_put_in(cations, anions):
    found = solve(load().constants, mixture({**cations, **anions}))

    known = book(load().constants)
    for part, total in found.totals.items():
        fallen = sum(amount * known.of(name).get(part, 0) for name, amount in found.solids.items())
        assert fallen + found.dissolved[part] == pytest.approx(total, rel=1e-4)


@QUICK
@given(AMOUNT, AMOUNT, st.floats(1.0, 3.0))
def test_more_sulfate_never_dissolves_barium_sulfate(barium, sulfate, more):
    def left(amount):
        totals = {"Ba2+": barium, "Cl-": 2 * barium, "SO4^2-": amount, "Na+": 2 * amount}
        return solve(load().constants, mixture(totals)).dissolved["Ba2+"]

    assert left(more * sulfate) <= left(sulfate) * 1.3 + STEP  # ionic strength alone dissolves a little


@QUICK
@given(st.floats(0.05, 1.0), st.floats(1.0, 3.0))
def test_more_acid_never_throws_down_more_zinc_sulfide(acid, more):
    def fallen(amount):
        totals = {"Zn2+": 0.05, "NO3-": 0.1, "H+": amount, "Cl-": amount}
        found = solve(load().constants, mixture(totals, saturated=(("H2S", 0.1),)))
        return sum(found.solids.values())

    assert fallen(more * acid) <= fallen(acid) + STEP


@QUICK
@given(st.floats(0.1, 4.0))
def test_an_excess_dissolves_only_where_a_complex_takes_the_ion_up(ammonia):
    """Ammonia takes nickel up as the ammine, and magnesium, which has none, never."""
    def left(ion, amount):
        return solve(load().constants, mixture({ion: 0.05, "NO3-": 0.1, "NH3": amount})).dissolved[ion]

    assert left("Mg2+", ammonia * 1.5) <= left("Mg2+", ammonia) + STEP
    assert left("Ni2+", 4.0) > 0.0499 > left("Ni2+", 0.1)
