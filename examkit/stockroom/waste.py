"""Into which waste container the salts and reagents of an exam go; pure, the classes are data."""

import re
from dataclasses import dataclass
from decimal import Decimal

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.stockroom.amounts import Amount, measured_mL, up_to
from examkit.stockroom.requirements import Seating, reagents_to_ready

FORMULA = re.compile(r"[A-Z]")
RINSING = 1  # as much again (common practice)
VESSELS_mL, BRIM = (100, 250, 500, 1000, 2500, 5000), Decimal("0.9")
ONE = Seating(candidates=1, places=1, visits=1)


@dataclass(frozen=True)
class Container:
    """A waste container: label, how it is filled, what must never get in, and what comes from this exam."""

    key: str
    title: str
    how: str
    never: str
    holds: tuple[str, ...]
    volume: Amount = Amount(Decimal(0), "mL")

    @property
    def vessel(self):
        """The bottle to put out for it; several of the largest where one is not enough."""
        return vessel_mL(self.volume.value)


def containers(kb, substances, volumes_mL=None):
    """The containers that an exam with these substances (salts and reagents of the knowledge base) needs.

    `volumes_mL` says, by key of the class, how much is expected in each (see `volumes`).
    """
    holds = {}
    for substance in substances:
        holds.setdefault(class_of(kb, substance), []).append(substance.name)
    rows = {row["key"]: row for row in kb.waste["classes"]} | {"": kb.waste["others"]}
    return tuple(
        Container(key or "other", row["title"], row["how"], row.get("never", ""), tuple(sorted(holds[key])),
                  Amount(measured_mL((volumes_mL or {}).get(key, Decimal(0))), "mL"))
        for key, row in rows.items()
        if key in holds
    )


def volumes(kb, shares):
    """The waste (mL) by key of its class; `shares` are pairs of an expected record (JSON) and its candidates.

    What is in one tube goes into one container: the first class that fits anything in it. Counted is the
    liquid that each test puts in, and once more as much for the salt's own solution and for rinsing.
    """
    total = {}
    for record, candidates in shares:
        salts = [kb.salts[part["salt"]] for part in record["specimen"]]
        for reagents, volume_mL in _tubes(kb, record):
            key = _first_class(kb, [*salts, *reagents])
            total[key] = total.get(key, Decimal(0)) + volume_mL * candidates * (1 + RINSING)
    return total


def _tubes(kb, record):
    """For each test that is done: its reagents, and the mL of them that one candidate puts in."""
    for line in record["lines"]:
        if line["done"]:
            needs = reagents_to_ready(kb, [record | {"lines": [line]}], ONE, spare_percent=0)
            found = [kb.reagents[need.reagent] for need in needs]
            liquid = sum((need.each.value for need in needs if need.each.unit == "mL"), Decimal(0))
            yield [reagent for reagent in found if reagent.kind not in ("paper", "gas")], liquid


def _first_class(kb, substances):
    order = [row["key"] for row in kb.waste["classes"]]
    found = {class_of(kb, substance) for substance in substances} - {""}
    return min(found, key=order.index) if found else ""


def vessel_mL(volume_mL):
    """The bottle (mL) that holds a volume and is not filled to the brim (nine tenths, common practice).

    >>> vessel_mL(Decimal(85)), vessel_mL(Decimal(950)), vessel_mL(Decimal(12000))
    (100, 2500, 15000)
    """
    full = next((size for size in VESSELS_mL if volume_mL <= size * BRIM), None)
    return full or int(up_to(volume_mL / BRIM, VESSELS_mL[-1]))


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
