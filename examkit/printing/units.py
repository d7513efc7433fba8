"""Numbers with their units, kept on one line of a sheet; pure."""

import re

NO_BREAK = "\u00a0"
UNITS = ("mol/L", "mmol/L", "g/L", "mg/L", "g/mL", "mg/mL", "mL/L", "mL", "L", "µL", "kg", "mg", "g", "mm",
         "cm", "min", "h", "s", "°C", "%")
TAG = re.compile(r"(<style\b.*?</style>|<[^>]*>)", re.DOTALL)
AMOUNT = re.compile(
    rf"(?<![\w.])(\d+(?:[.,]\d+)?)[ \u00a0]({'|'.join(re.escape(unit) for unit in UNITS)})(?![\w/])")


def together(html):
    """The HTML with every number and its unit on one line; units with a stroke in them do not break there.

    >>> together("<p>2 mL of 4 mol/L</p>") == '<p>2\u00a0mL of <span class="nb">4\u00a0mol/L</span></p>'
    True
    """
    pieces = TAG.split(html)
    return "".join(piece if number % 2 else AMOUNT.sub(_joined, piece) for number, piece in enumerate(pieces))


def _joined(found):
    amount = f"{found[1]}{NO_BREAK}{found[2]}"
    return f'<span class="nb">{amount}</span>' if "/" in found[2] else amount
