"""Hazards of several substances on one label."""

from hypothesis import given
from hypothesis import strategies as st

from examkit.knowledge import knowledge
from examkit.printing.hazards import together

KB = knowledge()
SALTS = st.lists(st.sampled_from(sorted(KB.salts)), min_size=1, max_size=8)


@given(SALTS)
def test_no_pool_shows_less_than_any_of_its_salts_but_for_what_is_stood_for(salts):
    hazards = [KB.salts[salt].hazards for salt in salts]
    shown = together(hazards, KB.labels["drops"])

    for kind in ("pictograms", "statements"):
        found = {each for one in hazards for each in getattr(one, kind)}
        missing = found - set(getattr(shown, kind))
        rules = {rule["drops"]: rule["shown"] for rule in KB.labels["drops"][kind]}
        assert all(rules[each] in getattr(shown, kind) for each in missing)


def test_danger_stands_for_warning_and_nothing_for_nothing():
    hazards = [KB.reagents["sulfuric-acid-dilute"].hazards, KB.reagents["acetic-acid-dilute"].hazards]

    assert together(hazards, KB.labels["drops"]).signal == "Danger"
    assert together([], KB.labels["drops"]).pictograms == ()
