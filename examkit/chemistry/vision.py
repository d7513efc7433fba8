"""Colour words in a perceptual space: how far apart two are, for usual and for colour-blind eyes.

A word stands at the CIELAB place of its swatch; distances are CIEDE2000. Colour-blind vision is simulated
by the `coloraide` library (one kind of cone wholly absent), imported here alone, where it is used.
"""

from functools import cache, lru_cache, partial

from examkit.chemistry.colours import agree, canonical, lightness

VISIONS = ("usual", "protan", "deutan", "tritan")
# CIEDE2000 between colours that a candidate surely tells apart by name, one after the other. Computed from
# the 267 centroids of the source `iscc-nbs-centroids`: the nearest other name is 0.5 to 10.1 away (median
# 5.4), so that colours ten apart have different names even in so fine a system. Side by side eyes do better:
# matches made in sight of the colour miss it by 2.8 (CIELAB), from memory by more (abstract read at
# jov.arvojournals.org, article 2792822); but a tube is compared with a word, not with another tube.
TOLD_APART = 10.0
LIGHTER = 0.4  # of the way from black to white: light, middle and dark are remembered (our own choice)


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


def same_for(kb, vision):
    """The comparison of two colour words for eyes of this vision."""
    return partial(look_alike, kb, vision=vision) if vision != "usual" else partial(agree, kb)


def alike_in_grey(kb, word, other):
    """Whether two colours pass for one where hues do not count: neither is much the lighter."""
    return agree(kb, word, other) or abs(lightness(kb, word) - lightness(kb, other)) < LIGHTER


def _color():
    """The library's colour class; heavy, so only on demand."""
    from coloraide import Color

    return Color
