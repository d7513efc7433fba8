"""The hazards of several substances on one label; pure, the rules of precedence are data."""

from dataclasses import dataclass

SIGNALS = ("", "Warning", "Danger")  # the stronger one stands for the other


@dataclass(frozen=True)
class Shown:
    """What a label shows: one signal word, pictograms, statements by code."""

    signal: str
    pictograms: tuple[str, ...]
    statements: tuple[str, ...]


def together(hazards, drops):
    """All hazards on one label, without those that others stand for.

    `hazards` have signal, pictograms and statements; `drops` has, for pictograms and for statements, pairs of
    what is shown and what it drops.
    """
    signal = max((each.signal for each in hazards), key=SIGNALS.index, default="")
    pictograms = {key for each in hazards for key in each.pictograms}
    statements = {code for each in hazards for code in each.statements}
    return Shown(signal, _left(pictograms, drops["pictograms"]), _left(statements, drops["statements"]))


def _left(found, rules):
    return tuple(sorted(found - {rule["drops"] for rule in rules if rule["shown"] in found}))
