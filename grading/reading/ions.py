"""How an ion may be called: its names, and its formula with every way to write the charge."""

import re
from functools import lru_cache
from itertools import product
from math import gcd

from examkit.chemistry.errors import FormulaError
from examkit.chemistry.formula import parse, split_charge
from grading.reading.lexicon import Entry, table_with

SINGLE = ("K",)  # symbols of one letter that in small letters mean nothing else
WORDS = ("as", "in", "no", "so", "i", "s", "be", "he")  # words that are symbols, too
ROMAN = ("", "I", "II", "III", "IV", "V", "VI", "VII")


@lru_cache(maxsize=8)
def ion_table(words, ions):
    """The table for inferences with the names of these ions in it (`ions` is a tuple of Ion records)."""
    entries = [pair for ion in ions for pair in _entries(words, ion)]
    return table_with(words.inference, entries)


def _entries(words, ion):
    entry = Entry("ion", ion.formula)
    for name in (ion.name, f"{ion.name} ion", *ion.names):
        for spelt in spellings(words, name):
            yield spelt, entry
            yield re.sub(r"\((\w+)\)", r" \1", spelt), entry  # "iron III" for "iron(III)"
            yield f"{spelt}s", entry  # "chlorides"
    for written in formulas(ion.formula):
        yield written, entry
        if any(not character.isalpha() for character in written) or len(written) > 1 or written in SINGLE:
            yield from _small(words.inference, written, entry)


def _small(table, written, entry):
    """A formula in small letters, unless that is a word by itself that says something ("co", "as", "no")."""
    small = written.lower()
    told = {found.kind for found in table.phrases.get((small,), ())} - {"filler"}
    if not told and small not in WORDS:
        yield small, entry


def spellings(words, name):
    """A name with each of the ways to spell its parts ("sulfate", "sulphate")."""
    found = [name]
    for one, other in words.spellings:
        found += [n.replace(one, other) for n in found if one in n] + [
            n.replace(other, one) for n in found if other in n
        ]
    return list(dict.fromkeys(found))


def formulas(ion):
    """The ways to write an ion: Ni2+, Ni^2+, Ni++, Ni+2, Ni(II), Ni; SO4^2-, SO42-, SO4--, SO4 2-, SO4."""
    body, charge = split_charge(ion)
    size, sign = abs(charge), "+" if charge > 0 else "-"
    digits = str(size) if size > 1 else ""
    forms = [
        ion,
        f"{body}{digits}{sign}",
        f"{body}^{digits}{sign}",
        body + sign * size,
        f"{body}{sign}{size}",
        f"{body} {digits}{sign}",
        f"{body}({digits}{sign})",
        f"{body} {sign}{digits}",
    ]
    if charge > 0:
        forms += [f"{body}({ROMAN[size]})", f"{body} {ROMAN[size]}"]
    if len(body) > 1 or charge > 0:
        forms.append(body)
    return list(dict.fromkeys(forms))


@lru_cache(maxsize=2_000)
def ions_of(written, ions):
    """The ions of the salt with this formula, or the metal ions that a compound with it may hold; or none."""
    try:
        elements = dict(parse(re.sub(r"\.\d*H2O$", "", written)).elements)
    except FormulaError:
        return ()
    return _salt(elements, ions) or _base(elements, ions) or _metal(elements, ions)


def _salt(elements, ions):
    """Cation and anion whose neutral sum has this composition."""
    cations = [ion for ion in ions if ion.charge > 0]
    anions = [ion for ion in ions if ion.charge < 0]
    for cation, anion in product(cations, anions):
        common = gcd(cation.charge, -anion.charge)
        total = {}
        for ion, count in ((cation, -anion.charge // common), (anion, cation.charge // common)):
            for element, number in parse(ion.formula).elements:
                total[element] = total.get(element, 0) + number * count
        if total == elements:
            return (cation.formula, anion.formula)
    return ()


def _base(elements, ions):
    """The metal ion of a hydroxide or oxide, told by what the oxygen binds: Fe(OH)3, Fe2O3, FeO."""
    charge = 2 * elements.get("O", 0) - elements.get("H", 0)
    metals = [element for element in elements if element not in ("O", "H")]
    if len(metals) != 1 or not elements.get("O"):
        return ()
    return tuple(
        ion.formula
        for ion in ions
        if ion.charge * elements[metals[0]] == charge and parse(ion.formula).elements == ((metals[0], 1),)
    )


def _metal(elements, ions):
    single = {ion.formula: dict(parse(ion.formula).elements) for ion in ions if ion.charge > 0}
    return tuple(formula for formula, own in single.items() if len(own) == 1 and next(iter(own)) in elements)
