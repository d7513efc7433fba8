"""Text into tokens that remember where they stand: words, formulas, numbers, marks."""

import re
from dataclasses import dataclass

SUBSCRIPTS = dict(zip("₀₁₂₃₄₅₆₇₈₉₊₋₍₎", "0123456789+-()", strict=True))
SUPERSCRIPTS = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁽⁾", "0123456789+-()", strict=True))
DASHES = {"−": "-", "–": "-", "‑": "-", "’": "'", "‘": "'", "·": ".", "•": "."}
IN_WATER = "(AQ)"  # of a text in capitals
PLAIN = str.maketrans({**SUBSCRIPTS, **SUPERSCRIPTS, **DASHES})

_ELEMENT = r"[A-Z][a-z]?\d*"
_GROUP = rf"\((?:{_ELEMENT}|\((?:{_ELEMENT})+\)\d*)+\)\d*"
_UNIT = rf"(?:{_ELEMENT}|{_GROUP})"
_COMPLEX = rf"\[{_UNIT}+\]\d*"
_CHARGE = r"(?:\^?\d*[+-]{1,3}|[+-]\d)(?![A-Za-z0-9])"
_START = rf"(?:{_ELEMENT}|{_COMPLEX}|\((?:{_ELEMENT})+\)\d)"
TOKEN = re.compile(
    rf"""
    (?P<dotted>(?<![^\W_])(?:[A-Za-z]\.)+[A-Za-z]\b\.?)
    |(?P<formula>(?<![^\W_]){_START}(?:{_UNIT}|{_COMPLEX})*(?:\.\d*{_UNIT}+)*(?:{_CHARGE})?(?![^\W_]|'[^\W\d_]))
    |(?P<mixed>(?<![^\W_])[a-z]+(?:\d[a-z0-9]*)(?:{_CHARGE})?(?![^\W_])
      |(?<![^\W_])[a-z]{{1,2}}{_CHARGE})
    |(?P<ordinal>(?<![^\W_])\d+(?:st|nd|rd|th|[abAB])(?![^\W_]))
    |(?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)
    |(?P<number>\d+(?:[.,]\d+)?)
    |(?P<newline>\n)
    |(?P<mark>[^\w\s]|_)
    |(?P<odd>\w)
    """,
    re.VERBOSE,
)


@dataclass(frozen=True)
class Token:
    """A piece of the text: as written (digits and charges made plain), in lower case, and where it stands."""

    written: str
    norm: str
    kind: str
    start: int
    end: int


def tokens(text):
    """The tokens of a text in order; only blanks stand between them."""
    plain = text.translate(PLAIN)
    return [_token(text, match) for match in TOKEN.finditer(plain)]


def _token(text, match):
    start, end = match.span()
    kind = match.lastgroup
    written = _raised(text[start:end]) if kind in ("formula", "mixed") else match.group()
    if kind == "formula":
        written = written.removesuffix(IN_WATER)
    if kind == "dotted":
        written = written.rstrip(".")
    return Token(written, written.lower(), kind, start, end)


def _raised(raw):
    """Plain text of a formula: a raised charge after a digit that is not raised gets its ^."""
    plain, before = [], ""
    for character in raw:
        if character in SUPERSCRIPTS and before.isdigit() and before not in SUPERSCRIPTS and before:
            plain.append("^")
        plain.append(character.translate(PLAIN))
        before = character
    return "".join(plain)
