"""Formulas, equations and colour words as pages set them."""

import re

from django import template
from django.template.loader import render_to_string
from django.utils.html import escape
from django.utils.safestring import mark_safe

from examkit.chemistry import formula
from examkit.chemistry.colours import canonical
from examkit.chemistry.errors import FormulaError
from examkit.knowledge import knowledge

register = template.Library()
SWATCH_STEP = 18  # from one swatch to the next in a drawing, in its units
IN_TEXT = re.compile(r"(?<![\w^])(?:\([A-Z]\w*\)(?=\d)|\[?[A-Z])[A-Za-z0-9()\[\]]*(?:\^?\d*[+-])?(?![\w+-])")


@register.filter
def ions(text):
    """A running text with its ions and formulas set: `Zn2+ may be present` becomes `Zn²⁺ may be present`."""
    return IN_TEXT.sub(lambda match: _set(match[0]), str(text))


def _set(word):
    """The word as a formula, where it has a charge or a number and can be read as one; else as it is."""
    if word.endswith(")") and word.count(")") > word.count("("):
        return _set(word[:-1]) + ")"  # the brackets are round the formula: "a red gas (CrO2Cl2)"
    if word.isalpha():
        return word
    try:
        formula.parse(word)
    except FormulaError:
        return word
    return formula.pretty(word)


@register.filter
def chem(text):
    """A formula with its sub- and superscripts."""
    return formula.pretty(str(text))


@register.filter
def chems(formulas):
    """Several formulas, set and joined by commas."""
    return ", ".join(formula.pretty(text) for text in formulas)


@register.filter
def mixture(text):
    """The formulas of a specimen, set: `Pb(NO₃)₂ + ZnCO₃`."""
    return " + ".join(formula.pretty(part) for part in text.split(" + "))


@register.filter
def equation(text):
    """An equation with its arrow and its sub- and superscripts."""
    return formula.pretty_equation(text)


@register.filter
def equation_unbroken(text):
    """The same for narrow columns: lines break before + and → only, never inside a term."""
    terms = re.split(r" (?=[+→] )", formula.pretty_equation(text))
    return " ".join(term.replace(" ", "\N{NO-BREAK SPACE}") for term in terms)


@register.filter
def intro(procedure):
    """What a procedure says before its list, if it has one."""
    return procedure.partition("\n- ")[0]


@register.filter
def listed(procedure):
    """The items of a procedure's list as (name, text)."""
    _intro, _, items = procedure.strip().partition("\n- ")
    return [(name, rest) for name, _, rest in (item.partition(":") for item in items.split("\n- ")) if name]


@register.filter
def seen(text, outcomes):
    """What is seen, with a swatch before each colour word of some (facet, outcome) pairs."""
    words = {word for _facet, outcome in outcomes for word in outcome.colours if swatch(word)}
    found = re.compile(r"\b(" + "|".join(sorted(map(re.escape, words), key=len, reverse=True)) + r")\b")
    parts = found.split(ions(text)) if words else [ions(text)]
    return mark_safe("".join(_with_swatch(part) if part in words else escape(part) for part in parts))


def _with_swatch(word):
    return render_to_string("partials/_swatch.html", {"word": word, "swatch": swatch(word)}).strip()


@register.filter
def swatches(outcomes):
    """The swatches of the most usual colours of some (facet, outcome) pairs, each once, in order."""
    words = dict.fromkeys(outcome.colours[0] for _facet, outcome in outcomes if outcome.colours)
    return [colour for colour in map(swatch, words) if colour]


@register.filter
def along(words, right):
    """(swatch, x) of colour words in a drawing: side by side up to its right edge."""
    found = [colour for colour in map(swatch, words) if colour]
    return [(colour, right - SWATCH_STEP * (len(found) - place)) for place, colour in enumerate(found)]


@register.filter
def swatch(word):
    """The swatch of a colour word, or nothing where the word has none (colourless)."""
    kb = knowledge()
    colour = kb.colours.get(canonical(kb, word))
    return colour.swatch if colour and colour.word != "colourless" else ""
