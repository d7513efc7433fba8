"""What an examiner who read whole records of the school and the mixture scheme held against them.

Each is common practice, no source, unless one is named.
"""

import pytest

from examkit.chemistry.equilibria.table import margins_of_specimen
from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import brought_into_solution, read_specimen


@pytest.fixture
def line(kb):
    """`line("NaCl + BaSO4", "group-1")` -> that line of the record in the scheme for mixtures."""

    def find(specimen, test, scheme="mixture"):
        record = expect(kb, read_specimen(kb, specimen), scheme).as_json()
        return next(found for found in record["lines"] if found["test"] == test)

    return find


@pytest.mark.parametrize("specimen", ["NaCl + BaSO4", "NaCl + CaF2", "CaCO3 + AgCl", "BaCl2.2H2O + Na2SO4"])
def test_what_stays_undissolved_is_in_no_tube_of_the_groups(kb, specimen):
    margins = margins_of_specimen(kb, kb.schemes["mixture"], read_specimen(kb, specimen))

    for group in ("group-1", "group-2", "group-3a", "group-3b"):
        here = margins.get((group, "tube", "reagent"), {})
        assert {ion for ion, margin in here.items() if margin.state == "clear"} == set(), group


def test_what_falls_as_the_salts_meet_takes_both_ions_by_their_amounts(kb):
    there = brought_into_solution(kb, read_specimen(kb, "BaCl2.2H2O + Na2SO4"))

    assert "Ba2+" not in there
    assert there["SO4^2-"] == pytest.approx(500 / 142.04 - 500 / 244.26, rel=1e-3)  # mmol, molar masses by hand
    assert there["Cl-"] == pytest.approx(2 * 500 / 244.26, rel=1e-3)


@pytest.mark.parametrize(("salt", "there"), [("CaCO3", False), ("ZnCO3", False), ("Na2CO3", True)])
def test_carbonate_is_in_a_water_extract_only(kb, salt, there):
    """A sodium carbonate extract is acidified and boiled before barium chloride: its carbonate has gone."""
    margins = margins_of_specimen(kb, kb.schemes["school-groups"], read_specimen(kb, salt))
    found = margins.get(("anion-barium-chloride", "tube", "reagent"), {}).get("CO3^2-")

    assert (found is not None and found.state == "clear") is there
