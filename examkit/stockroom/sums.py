"""What the sums of an exam's stock list begin with: its samples, its expected records, the shelf."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import ShelfItem
from examkit.stockroom.amounts import Amount
from examkit.stockroom.requirements import (
    ReagentNeed,
    SaltNeed,
    Seating,
    STRIP_g,
    reagents_to_ready,
    salts_to_weigh,
)
from examkit.stockroom.shelf import Bottle, StockLine, one_name, stock_lines

MG_IN_G = 1000
UL_IN_mL = 1000
FOR = TUBES, TESTS, SOLUTIONS = "tubes", "tests", "solutions"


@dataclass(frozen=True)
class Sums:
    """What an exam needs, and where it comes from."""

    records: list
    seats: Seating
    salts: tuple[SaltNeed, ...]
    reagents: tuple[ReagentNeed, ...]
    lines: dict[str, StockLine]

    def reagent_keys(self, kb):
        """The reagents that the tests use, in order of use, then those that are only made on the way."""
        used = [need.reagent for need in self.reagents]
        made = [key for key, line in self.lines.items() if key in kb.reagents and line.made]
        return list(dict.fromkeys([*used, *made]))

    def parts(self, kb, substance):
        """What a substance is needed for, as (Amount, one of `FOR`); the parts add up to its line's need."""
        name = one_name(kb, substance)
        need = self.lines[name].need
        tubes = [Amount(Decimal(str(part.grams)), "g") for salt in self.salts
                 for part in read_specimen(kb, salt.salt, grams=float(salt.total_g)).parts
                 if one_name(kb, part.salt.formula) == name]
        tests = [each.total for each in self.reagents if each.reagent == name]
        known = [sum(amounts, Amount(Decimal(0), need.unit)) for amounts in (tubes, tests)]
        rest = need - known[0] - known[1]
        return tuple((amount, use) for amount, use in zip([*known, rest], FOR, strict=True) if amount)

    def thrown_away(self, kb):
        """The salts of the pool, and the reagents but papers: what waste may hold."""
        used = [kb.reagents[need.reagent] for need in self.reagents]
        salts = [part.salt for need in self.salts for part in read_specimen(kb, need.salt).parts]
        return salts + [reagent for reagent in used if reagent.kind != "paper"]


def sums_of(exam, kb):
    """The sums of an exam that is drawn; None before the draw."""
    samples = list(exam.samples.values_list("code", "salt"))
    if not samples:
        return None
    salts = salts_to_weigh(samples, sample_mg=exam.sample_mg, spare_percent=exam.spare_percent)
    seats, kept = seating(exam), records(exam)
    reagents = reagents_to_ready(kb, kept, seats, spare_percent=exam.spare_percent)
    found = stock_lines(kb, _needs(kb, salts, reagents), bottles(exam.centre))
    return Sums(kept, seats, salts, reagents, {line.substance: line for line in found})


def records(exam):
    """The expected records of the drawn salts, as JSON: the frozen ones; computed where one is missing."""
    frozen = dict(exam.expected.values_list("salt", "record"))
    salts = sorted(set(exam.samples.values_list("salt", flat=True)))
    return [frozen.get(salt) or _computed(exam, salt) for salt in salts]


def records_on_shelf(exam):
    """The expected records of the salts on the centre's shelf that the exam's scheme has in its syllabus."""
    kb = knowledge(exam.centre)
    known = {*kb.schemes[exam.scheme].cations, *kb.schemes[exam.scheme].anions}
    shelf = ShelfItem.objects.filter(centre=exam.centre, set_aside="", substance__in=list(kb.salts))
    salts = sorted(set(shelf.values_list("substance", flat=True)))
    return [_computed(exam, salt) for salt in salts if {*kb.salts[salt].ions} <= known]


def _computed(exam, salt):
    return _expected(knowledge(exam.centre), salt, exam.scheme)


@lru_cache(maxsize=512)
def _expected(kb, salt, scheme):
    """A salt's expected record as JSON, which nobody may change."""
    return expect(kb, read_specimen(kb, salt, grams=kb.schemes[scheme].grams), scheme).as_json()


def seating(exam):
    """How many candidates, at how many benches, and how often the busiest bench is used."""
    benches = Counter(exam.samples.values_list("bench", flat=True))
    return Seating(sum(benches.values()), len(benches), max(benches.values(), default=0))


def bottles(centre):
    """The shelf of a centre as the sums need it."""
    kb = knowledge(centre)
    return [_bottle(kb, item) for item in ShelfItem.objects.filter(centre=centre, set_aside="")]


def _bottle(kb, item):
    strength = None if item.strength_mmol_L is None else Decimal(item.strength_mmol_L) / 1000
    amount = shown_amount(kb, item.substance, item.amount)
    return Bottle(item.pk, item.substance, amount, strength, item.made_on, item.note)


def unit_of(kb, substance):
    """In what a substance is counted on the shelf: g, mL or strips."""
    kind = kb.reagents[substance].kind if substance in kb.reagents else "solid"
    return {"solid": "g", "gas": "g", "paper": "strips"}.get(kind, "mL")


def shown_amount(kb, substance, stored):
    """The stored amount (mg of a solid, µL of a liquid) in the unit of the page."""
    unit = unit_of(kb, substance)
    each = {"g": MG_IN_G, "mL": UL_IN_mL, "strips": STRIP_g * MG_IN_G}[unit]
    return Amount(Decimal(stored) / each, unit)


def _needs(kb, salts, reagents):
    """Substances and amounts; a mixture counts as its salts."""
    needs = {}
    for need in salts:
        for part in read_specimen(kb, need.salt, grams=float(need.total_g)).parts:
            _add(needs, part.salt.formula, Amount(Decimal(str(part.grams)), "g"))
    for need in reagents:
        _add(needs, need.reagent, need.total)
    return needs


def _add(needs, key, amount):
    needs[key] = needs[key] + amount if key in needs else amount
