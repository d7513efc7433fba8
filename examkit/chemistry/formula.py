"""Formulas and equations: composition, charge, molar mass, and whether an equation balances.

Written forms: `Zn2+`, `NH4+`, `SO4^2-`, `Hg2^2+`, `[Ni(NH3)6]2+`, `NiCl2.6H2O`, `e-`. The digits before a
sign are the charge after one bare element symbol, a bracket or `^`, and a subscript elsewhere (`NO3-`).
"""

import re
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from molmass import ELEMENTS

from examkit.chemistry.errors import FormulaError

CHARGE = re.compile(
    r"^(?P<body>.*?)(?:(?<=\])(?P<bracket>\d*)|\^(?P<caret>\d*)|(?<=^[A-Z])(?P<one>\d*)|"
    r"(?<=^[A-Z][a-z])(?P<two>\d*)|)(?P<sign>[+-])$"
)
TOKEN = re.compile(r"(?P<element>[A-Z][a-z]?)|(?P<open>[(\[])|(?P<close>[)\]])|(?P<number>\d+)")
TERM = re.compile(r"^(?:(?P<count>\d+(?:/\d+)?) )?(?P<formula>[^\s\d]\S*)$")
SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
SUPERSCRIPTS = str.maketrans("0123456789+-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻")


@dataclass(frozen=True)
class Formula:
    """Elements with their counts, and the charge in elementary charges."""

    elements: tuple[tuple[str, Fraction], ...]
    charge: int


def split_charge(text):
    """The formula without its charge, and the charge: `SO4^2-` is (`SO4`, -2)."""
    match = CHARGE.match(text)
    if not match:
        return text, 0
    digits = next((match[name] for name in ("bracket", "caret", "one", "two") if match[name]), "1")
    return match["body"], int(digits) * (1 if match["sign"] == "+" else -1)


@cache
def parse(text):
    """Composition and charge of a formula.

    >>> parse("NiCl2.6H2O").charge
    0
    >>> parse("[Zn(OH)4]2-").charge, parse("Hg2^2+").charge, parse("NO3-").charge
    (-2, 2, -1)
    """
    if text == "e-":
        return Formula((), -1)
    body, charge = split_charge(text)
    total = Counter()
    for part in body.split("."):
        match = re.match(r"^(\d+(?:/\d+)?)?(.+)$", part)
        if not match:
            raise FormulaError(f"'{text}' is not a formula. Write it like NiCl2.6H2O or SO4^2-.")
        factor = Fraction(match[1] or 1)
        for element, count in _composition(match[2], text).items():
            total[element] += count * factor
    return Formula(tuple(sorted(total.items())), charge)


def _composition(body, whole):
    """Elements of one part of a formula, brackets multiplied out."""
    stack, last, at = [Counter()], None, 0
    while at < len(body):
        match = TOKEN.match(body, at)
        if not match:
            raise FormulaError(f"'{whole}' has '{body[at]}', which no formula has.")
        at = match.end()
        if match["element"]:
            if match["element"] not in ELEMENTS:
                raise FormulaError(f"'{whole}' names '{match['element']}', which is no element.")
            last = Counter({match["element"]: 1})
            stack[-1].update(last)
        elif match["open"]:
            stack.append(Counter())
        elif match["close"]:
            if len(stack) == 1:
                raise FormulaError(f"'{whole}' closes a bracket that it never opened.")
            last = stack.pop()
            stack[-1].update(last)
        elif last is None:
            raise FormulaError(f"'{whole}' has a number where an element should be.")
        else:
            for element, count in last.items():
                stack[-1][element] += count * (int(match["number"]) - 1)
            last = None
    if len(stack) > 1:
        raise FormulaError(f"'{whole}' opens a bracket that it never closes.")
    return stack[0]


def molar_mass_g_mol(text):
    """Molar mass in g/mol, from the standard atomic weights that `molmass` ships; crystal water counts.

    >>> round(molar_mass_g_mol("CuSO4.5H2O"), 2)
    249.68
    """
    return sum(float(count) * ELEMENTS[element].mass for element, count in parse(text).elements)


def water_of(text):
    """Molecules of crystal water in one formula unit: 6 for NiCl2.6H2O, 0 without a hydrate part."""
    match = re.search(r"\.(\d+(?:/\d+)?)?H2O$", text)
    return float(Fraction(match[1] or 1)) if match else 0.0


def pretty(text):
    """The formula as it is set in print.

    >>> pretty("NiCl2.6H2O"), pretty("SO4^2-"), pretty("[Zn(OH)4]2-")
    ('NiCl₂·6H₂O', 'SO₄²⁻', '[Zn(OH)₄]²⁻')
    """
    body, charge = split_charge(text)
    body = re.sub(r"(?<=[A-Za-z)\]])\d+", lambda match: match[0].translate(SUBSCRIPTS), body)
    body = body.replace(".", "·")
    if not charge:
        return body
    size = str(abs(charge)) if abs(charge) > 1 else ""
    return body + (size + ("+" if charge > 0 else "-")).translate(SUPERSCRIPTS)


def pretty_equation(text):
    """An equation as it is set in print: `Zn²⁺ + 2 OH⁻ → Zn(OH)₂`."""
    words = [word if word in "+->" or word.isdigit() else pretty(word) for word in text.split(" ")]
    return " ".join(words).replace("->", "→")


def sides(equation):
    """The two sides of an equation as lists of (count, Formula)."""
    parts = equation.split(" -> ")
    if len(parts) != 2:
        raise FormulaError(f"'{equation}' needs exactly one ' -> ' between its sides.")
    return [[_term(term, equation) for term in side.split(" + ")] for side in parts]


def _term(text, equation):
    match = TERM.match(text.strip())
    if not match:
        raise FormulaError(
            f"'{text}' in '{equation}' is not a coefficient and a formula with one space between."
        )
    return Fraction(match["count"] or 1), parse(match["formula"])


def check_equation(equation):
    """Raise FormulaError unless mass and charge balance; the message says what is left over.

    >>> check_equation("Zn2+ + 2 OH- -> Zn(OH)2")
    """
    left, right = (_sum(side) for side in sides(equation))
    left.subtract(right)
    over = {key: amount for key, amount in left.items() if amount}
    if over:
        words = ", ".join(
            f"{key} {'+' if amount > 0 else ''}{amount}" for key, amount in sorted(over.items())
        )
        raise FormulaError(f"'{equation}' does not balance: left minus right is {words}.")


def _sum(side):
    total = Counter()
    for count, formula in side:
        total["charge"] += count * formula.charge
        for element, number in formula.elements:
            total[element] += count * number
    return total
