"""Formulas, equations and colour words as pages set them."""

import re

from django import template

from examkit.chemistry import formula
from examkit.chemistry.colours import canonical
from examkit.knowledge import knowledge

register = template.Library()
IN_BRACKETS = re.compile(r"\(([A-Z][A-Za-z0-9]*\d[A-Za-z0-9]*|CO|HCl|HBr|HI|NO)\)")


@register.filter
def chem(text):
    """A formula with its sub- and superscripts."""
    return formula.pretty(str(text))


@register.filter
def chems(formulas):
    """Several formulas, set and joined by commas."""
    return ", ".join(formula.pretty(text) for text in formulas)


@register.filter
def equation(text):
    """An equation with its arrow and its sub- and superscripts."""
    return formula.pretty_equation(text)


@register.filter
def told(text):
    """A text of the engine with the formulas in its brackets set: `gas (NO2)` becomes `gas (NO₂)`."""
    return IN_BRACKETS.sub(lambda match: f"({formula.pretty(match[1])})", text)


@register.filter
def swatches(outcomes):
    """The swatches of the most usual colours of some (facet, outcome) pairs, each once, in order."""
    words = dict.fromkeys(outcome.colours[0] for _facet, outcome in outcomes if outcome.colours)
    return [colour for colour in map(swatch, words) if colour]


@register.filter
def swatch(word):
    """The swatch of a colour word, or nothing where the word has none (colourless)."""
    kb = knowledge()
    colour = kb.colours.get(canonical(kb, word))
    return colour.swatch if colour and colour.word != "colourless" else ""
