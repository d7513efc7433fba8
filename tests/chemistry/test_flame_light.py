"""The words for flame colours against the light that the flames send out, by published wavelengths.

Light of one wavelength has a place in the CIE 1931 diagram, and so a hue. A mixture of lights lies, in that
diagram, on the line between them, so its hue lies between theirs. A word is right where the hue of its swatch
lies there, within a tolerance for what a swatch on a screen and a name can hold.

Wavelengths in nm:
- H. Lohninger, Anorganische Chemie (anorganik.chemie.vias.org/flammenfaerbung.html), table of flame colours
  and important emission lines: barium, calcium, potassium, lithium, sodium, strontium;
- T. Shimizu, Flame spectra of blue color compositions, abstract (jpyro.co.uk/?p=471): copper chloride,
  4269 to 4560 and 5263 to 5531 angstrom, in a burner's flame.
CIE 1931 colour-matching functions, 2 degrees: the library's own table.
"""

import pytest
from coloraide import Color
from coloraide.cmfs import CIE_1931_2DEG

from examkit.chemistry.colours import canonical

LINES = {
    "Ba2+": (513, 524),
    "Ca2+": (553, 622),
    "K+": (404, 768),
    "Li+": (610, 670),
    "Na+": (589,),
    "Sr2+": (605,),  # its blue line, 460 nm, is faint in a burner
    "Cu2+": (427, 553),  # the two ends of its bands
}
THROUGH_BLUE_GLASS = {"K+": (768,), "Ca2+": (553,)}  # what cobalt glass lets pass: deep red, yellowish green, blue
TOLERANCE = 30  # degrees of hue; neighbouring words of the base are 20 to 50 apart
PURPLE = 700  # nm: light of longer waves has the same hue; beyond red come the purples, then violet


def hue_of_light(nm):
    """Hue in OKLCh, in degrees, of light of one wavelength."""
    X, Y, Z = CIE_1931_2DEG[min(nm, PURPLE)]
    return Color("xyz-d65", [part / (X + Y + Z) for part in (X, Y, Z)]).convert("oklch")["hue"]


def hue_of_word(kb, word):
    return Color(kb.colours[canonical(kb, word)].swatch).convert("oklch")["hue"]


def apart(one, other):
    """Degrees between two hues, the short way."""
    return min((one - other) % 360, (other - one) % 360)


def from_lines(hue, lines):
    """How far a hue lies from those that a mixture of these lights can have; 0 between them."""
    ends = [hue_of_light(nm) for nm in (min(lines), max(lines))]
    between = apart(ends[0], hue) + apart(hue, ends[1]) <= apart(*ends) + 1e-6
    return 0.0 if between else min(apart(hue, end) for end in ends)


def first_word(kb, ion, step):
    """The most usual word for an ion's flame at a step."""
    seen = kb.ions[ion].facts["flame", "flame"].seen
    return next(outcome.colours[0] for outcome in seen if outcome.step == step)


@pytest.mark.parametrize("ion", LINES)
def test_the_word_for_a_flame_is_the_colour_of_its_light(kb, ion):
    word = first_word(kb, ion, "naked eye")

    assert from_lines(hue_of_word(kb, word), LINES[ion]) <= TOLERANCE, word


@pytest.mark.parametrize("ion", THROUGH_BLUE_GLASS)
def test_through_blue_glass_it_is_the_light_that_passes(kb, ion):
    word = first_word(kb, ion, "blue glass")

    assert from_lines(hue_of_word(kb, word), THROUGH_BLUE_GLASS[ion]) <= TOLERANCE, word


def test_blue_glass_leaves_nothing_of_sodium(kb):
    """Cobalt glass absorbs about 589 nm (common practice)."""
    seen = kb.ions["Na+"].facts["flame", "flame"].seen

    assert not any(outcome.seen for outcome in seen if outcome.step == "blue glass")


@pytest.mark.parametrize(
    ("ion", "other"), [("Na+", "Li+"), ("Na+", "Ba2+"), ("Ba2+", "Na+"), ("K+", "Na+"), ("Cu2+", "Li+"), ("Li+", "Ba2+")]
)
def test_the_word_for_one_flame_is_not_the_colour_of_another(kb, ion, other):
    word = first_word(kb, ion, "naked eye")

    assert from_lines(hue_of_word(kb, word), LINES[other]) > TOLERANCE, word


def test_hues_of_light_run_from_red_over_green_to_violet():
    hues = [hue_of_light(nm) for nm in (650, 589, 553, 513, 480, 430)]

    assert hues == sorted(hues)
