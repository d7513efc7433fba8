"""Formulas, equations and colour words as pages set them."""

from django import template

from examkit.chemistry import formula
from examkit.chemistry.colours import canonical
from examkit.knowledge import knowledge

register = template.Library()


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
def swatch(word):
    """The swatch of a colour word, or nothing where the word has none (colourless)."""
    kb = knowledge()
    colour = kb.colours.get(canonical(kb, word))
    return colour.swatch if colour and colour.word != "colourless" else ""
