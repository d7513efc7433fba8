"""Text into tokens."""

import pytest

from grading.reading.normalise import tokens


def written(text):
    return [token.written for token in tokens(text)]


def test_words_and_marks_stand_where_they_stood():
    text = "White ppt., soluble"

    assert [text[token.start : token.end] for token in tokens(text)] == ["White", "ppt", ".", ",", "soluble"]


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("SO₄²⁻", "SO4^2-"),
        ("Ni²⁺", "Ni2+"),
        ("NiCl₂·6H₂O", "NiCl2.6H2O"),
        ("Ni++", "Ni++"),
        ("Fe+3", "Fe+3"),
        ("[Ni(NH3)6]2+", "[Ni(NH3)6]2+"),
        ("(NH4)2SO4", "(NH4)2SO4"),
        ("Ni(II)", "Ni(II)"),
        ("so4^2-", "so4^2-"),
        ("Hg₂²⁺", "Hg2^2+"),
    ],
)
def test_a_formula_is_one_token_with_plain_digits_and_its_charge_raised(text, plain):
    assert written(text) == [plain]


def test_abbreviations_with_stops_are_one_token():
    assert written("in O.F. n.r") == ["in", "O.F", "n.r"]


def test_ions_joined_by_a_plus_or_a_stroke_stay_apart():
    assert written("Cu+Zn") == ["Cu", "+", "Zn"]
    assert written("Fe3+/Al3+") == ["Fe3+", "/", "Al3+"]


def test_a_bracketed_formula_leaves_its_brackets():
    assert written("(NO2)") == ["(", "NO2", ")"]


def test_digits_of_other_scripts_are_left_as_they_are():
    assert written("٣ ppt ५")[0] == "٣"
