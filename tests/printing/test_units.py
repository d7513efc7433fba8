"""Numbers stay with their units on every sheet."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from examkit.printing.units import UNITS, together


@pytest.mark.parametrize(("text", "joined"), [
    ("take 2 mL of it", "take 2\u00a0mL of it"),
    ("warm to 60 °C, 5 min", "warm to 60\u00a0°C, 5\u00a0min"),
    ("aluminon, 0.1 %", "aluminon, 0.1\u00a0%"),
    ("4 mol/L", '<span class="nb">4\u00a0mol/L</span>'),
    ("0.25\u00a0mol/L", '<span class="nb">0.25\u00a0mol/L</span>'),
])
def test_a_number_and_its_unit_stay_on_one_line(text, joined):
    assert together(f"<p>{text}</p>") == f"<p>{joined}</p>"


@pytest.mark.parametrize("html", [
    "<p>3 grains, 2 minutes, group 4 Lead, A1 g</p>",
    "<style>@page { size: 8.5in 11 mm }</style>",
    '<p title="2 mL">it</p>',
    "<p>5 mL2</p>",
])
def test_what_is_no_amount_stays_as_it_is(html):
    assert together(html) == html


@given(st.text(alphabet="0123456789. mLgol/%<>ab"), st.sampled_from(UNITS))
def test_no_word_is_lost_or_changed(text, unit):
    html = f"<p>{text.replace('<', '').replace('>', '')} 5 {unit}</p>"

    said = together(html).replace('<span class="nb">', "").replace("</span>", "")

    assert said.replace("\u00a0", " ") == html
