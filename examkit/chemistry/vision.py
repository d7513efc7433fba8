"""Colour words in a perceptual space: how far apart two are, for usual and for colour-blind eyes.

A word stands at the CIELAB place of its swatch; distances are CIEDE2000. Colour-blind vision is simulated
by the `coloraide` library (one kind of cone wholly absent), imported here alone, where it is used.
"""

from functools import cache, lru_cache

from examkit.chemistry.colours import agree, canonical

VISIONS = ("usual", "protan", "deutan", "tritan")
TOLD_APART = (
    12.0  # CIEDE2000; two swatches side by side differ from about 2, two remembered colours from about 10
)


@cache
def swatch_for(kb, word, vision):
    """The swatch of a colour word as eyes of this vision see it, as #rrggbb, or None where it has none."""
    colour = kb.colours.get(canonical(kb, word))
    if colour is None:
        return None
    if vision == "usual":
        return colour.swatch
    return _color()(colour.swatch).filter(vision).convert("srgb").fit().to_string(hex=True)


@cache
def place(kb, word, vision="usual"):
    """CIELAB coordinates (L*, a*, b*; white D65) of a colour word, or None where it has no swatch."""
    swatch = swatch_for(kb, word, vision)
    return tuple(_color()(swatch).convert("lab-d65").coords()) if swatch else None


@lru_cache(maxsize=20_000)
def distance(kb, word, other, vision="usual"):
    """CIEDE2000 between two colour words for a vision; infinite where one of them has no swatch."""
    one, two = swatch_for(kb, word, vision), swatch_for(kb, other, vision)
    if one is None or two is None:
        return 0.0 if canonical(kb, word) == canonical(kb, other) else float("inf")
    return _color()(one).delta_e(_color()(two), method="2000")


def look_alike(kb, word, other, vision="usual"):
    """Whether two colours pass for one: the words agree, or for other than usual eyes they are too near."""
    if agree(kb, word, other):
        return True
    return vision != "usual" and distance(kb, word, other, vision) < TOLD_APART


def _color():
    """The library's colour class; heavy, so only on demand."""
    from coloraide import Color

    return Color
