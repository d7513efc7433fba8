"""Into which waste container the salts and reagents of an exam go; pure, the classes are data."""

import re
from dataclasses import dataclass

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError

FORMULA = re.compile(r"[A-Z]")


@dataclass(frozen=True)
class Container:
    """A waste container: label, how it is filled, what must never get in, and what comes from this exam."""

    key: str
    title: str
    how: str
    never: str
    holds: tuple[str, ...]


def containers(kb, substances):
    """The containers that an exam with these substances (salts and reagents of the knowledge base) needs."""
    holds = {}
    for substance in substances:
        holds.setdefault(class_of(kb, substance), []).append(substance.name)
    rows = {row["key"]: row for row in kb.waste["classes"]} | {"": kb.waste["others"]}
    return tuple(
        Container(key or "other", row["title"], row["how"], row.get("never", ""), tuple(sorted(holds[key])))
        for key, row in rows.items()
        if key in holds
    )


def class_of(kb, substance):
    """The key of the first class that fits a salt or reagent; empty where none does."""
    return next((row["key"] for row in kb.waste["classes"] if _fits(row, substance)), "")


def _fits(row, substance):
    text = substance.formula
    return (
        bool(set(row.get("statements", ())) & set(substance.hazards.statements))
        or bool(set(row.get("elements", ())) & _elements(text))
        or any(group in text for group in row.get("groups", ()))
        or text in row.get("formulas", ())
    )


def _elements(text):
    """The elements of a formula; none where a reagent has no formula that can be read (a paper, a dye)."""
    try:
        return {element for element, _count in formula.parse(text).elements} if FORMULA.match(text) else set()
    except FormulaError:
        return set()
