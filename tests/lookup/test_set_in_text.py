"""Ions and formulas in running text are set with sub- and superscripts; all else stays as it was written."""

import pytest

from examkit.templatetags.chemistry import ions


@pytest.mark.parametrize(("text", "shown"), [
    ("“Zn2+ may be present; Al3+”: points to Al3+, Pb2+.", "“Zn²⁺ may be present; Al³⁺”: points to Al³⁺, Pb²⁺."),
    ("SO4^2- is right.", "SO₄²⁻ is right."),
    ("K+ or CH3COO-, (NH4)2SO4", "K⁺ or CH₃COO⁻, (NH₄)₂SO₄"),
    ("the gas is CO2, not H2S", "the gas is CO₂, not H₂S"),
    ("a red gas (CrO2Cl2), a gas (HCl)", "a red gas (CrO₂Cl₂), a gas (HCl)"),
    ("a hydroxide (Ni(OH)2)", "a hydroxide (Ni(OH)₂)"),
    ("[Zn(OH)4]2- forms", "[Zn(OH)₄]²⁻ forms"),
])
def test_ions_in_a_sentence_are_set(text, shown):
    assert ions(text) == shown


@pytest.mark.parametrize("text", ["Nothing is written.", "No change (excess): not recorded", "group IIIA is absent",
                                  "Qx7+ and Zz2-", "in 2 mL, pH-paper", "Co-ordinates", "", "<b>Zn</b>"])
def test_other_words_stay_as_they_are(text):
    assert ions(text) == text
