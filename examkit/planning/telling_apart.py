"""Which specimens of a pool a scheme tells apart, at which tests, and where colour alone decides.

Works on expected records as JSON. Only what can be seen or smelt counts: events, colours, gases, smells;
not the formula of a product, nor the grain of a powder.
"""

from dataclasses import dataclass
from itertools import combinations

COLOUR_EVENTS = {"flame", "bead", "colour"}  # nothing of these is left where colours are not seen


@dataclass(frozen=True)
class Pair:
    """Two specimens, the tests that part them, and those that part them without any colour."""

    one: str
    other: str
    tests: tuple[str, ...]
    without_colour: tuple[str, ...]

    @property
    def alike(self):
        """Whether the scheme does not tell the two apart."""
        return not self.tests

    @property
    def by_colour_alone(self):
        """Whether only colours tell the two apart."""
        return bool(self.tests) and not self.without_colour


def pairs(records, same_colour, same_shade):
    """All pairs of a pool; `records` maps a specimen to its expected record (JSON).

    `same_colour` and `same_shade` say of two colour words whether they agree, and whether they are alike in
    lightness (all that is left to see where hues are not told apart).
    """
    sights = {name: _sights(record) for name, record in records.items()}
    grey = {name: _without_hue(seen) for name, seen in sights.items()}
    return [
        Pair(one, other, _parted(sights[one], sights[other], same_colour),
             _parted(grey[one], grey[other], same_shade))
        for one, other in combinations(records, 2)
    ]


def _sights(record):
    """What is seen, by test and then by facet and step; None for a test that is not done."""
    return {
        line["test"]: {
            (seen["facet"], seen["step"]): seen for seen in line["seen"] if seen["event"] != "none"
        }
        if line["done"]
        else None
        for line in record["lines"]
    }


def _without_hue(sights):
    return {
        test: seen and {place: what for place, what in seen.items() if what["event"] not in COLOUR_EVENTS}
        for test, seen in sights.items()
    }


def _parted(one, other, same):
    """The tests at which two specimens show something different."""
    return tuple(test for test in one if test in other and not _alike(one[test], other[test], same))


def _alike(one, other, same):
    if one is None or other is None:
        return one is other
    return one.keys() == other.keys() and all(_same_outcome(one[place], other[place], same) for place in one)


def _same_outcome(one, other, same):
    if any(one[key] != other[key] for key in ("event", "gas", "smell")):
        return False
    if not one["colours"] or not other["colours"]:
        return one["colours"] == other["colours"]
    return any(same(a, b) for a in one["colours"] for b in other["colours"])


def lightness(swatch):
    """How light a swatch like "#1c4a86" is, from 0 (black) to 1: relative luminance as WCAG 2 defines it."""
    parts = [int(swatch[place:place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def shade(swatch):
    """dark, middle or light: as much as is told apart without hues."""
    light = lightness(swatch)
    return "dark" if light < 0.12 else "light" if light > 0.6 else "middle"
