"""Amounts on their way through a scheme: nothing is lost, nothing is made, and the parts are where they belong."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.equilibria.table import Supply, follow, fractions, margins_of_specimen
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen

KB = load()
MIXTURE = KB.schemes["mixture"]
CATIONS = [ion for ion in MIXTURE.cations if ion not in ("Fe2+", "Sn2+", "As3+")]  # these become others on the way
AMOUNT = st.floats(0.02, 0.3)


@settings(max_examples=40, deadline=None)
@given(st.dictionaries(st.sampled_from(CATIONS), AMOUNT, min_size=1, max_size=5))
def test_every_cation_is_in_the_rack_at_the_end_as_much_as_there_was(cations):
    rack = fractions(KB, MIXTURE, Supply(cations, {}))

    for ion, amount in cations.items():
        assert sum(vessel.get(ion, 0.0) for vessel in rack.values()) == pytest.approx(amount, rel=1e-6), ion


@settings(max_examples=25, deadline=None)
@given(st.dictionaries(st.sampled_from(CATIONS), AMOUNT, min_size=1, max_size=3), st.sampled_from(CATIONS), AMOUNT)
def test_another_cation_makes_none_vanish(cations, other, amount):
    rack = fractions(KB, MIXTURE, Supply(cations | {other: amount}, {}))

    assert set(cations) | {other} <= {ion for vessel in rack.values() for ion in vessel}


def test_a_mixture_is_parted_by_the_work_up_of_its_precipitates():
    """Barium, strontium and calcium each in a precipitate of its own (common practice, no source)."""
    rack = fractions(KB, MIXTURE, Supply(dict.fromkeys(["Ba2+", "Sr2+", "Ca2+"], 0.15), {}))

    found = {ion: max(rack, key=lambda name, ion=ion: rack[name].get(ion, 0)) for ion in ("Ba2+", "Sr2+", "Ca2+")}
    assert found["Ba2+"] == "barium chromate"
    assert found["Sr2+"] == "strontium sulfate"


@pytest.mark.parametrize(("mixture", "test", "ion", "falls"), [
    ("BaCl2.2H2O + CaCl2.2H2O", "chromate-on-acetates", "Ba2+", True),
    ("BaCl2.2H2O + CaCl2.2H2O", "chromate-on-acetates", "Ca2+", False),
    ("MnCl2.4H2O + ZnSO4.7H2O", "hydroxide-on-manganese-and-zinc", "Mn2+", True),
    ("MnCl2.4H2O + ZnSO4.7H2O", "hydroxide-on-manganese-and-zinc", "Zn2+", False),
    ("AlCl3.6H2O + FeCl3.6H2O", "ammonium-chloride-on-aluminate", "Al3+", True),
])
def test_the_work_up_is_calculated_with_what_the_precipitate_brings_along(mixture, test, ion, falls):
    """Separations of the analytical groups (common practice, no source), as amounts at the scheme's strengths."""
    here = margins_of_specimen(KB, MIXTURE, read_specimen(KB, mixture)).get((test, "tube", "reagent"), {})

    assert ion in here or not falls
    assert (here[ion].state == "clear" if falls else ion not in here or here[ion].state == "none")


def test_each_scheme_is_calculated_at_the_same_places_as_its_groups():
    for scheme in KB.schemes.values():
        places = {test for test, _facet, _step in follow(KB, scheme, Supply({"Cu2+": 0.2}, {}))}
        assert "group-2" in places, scheme.key
