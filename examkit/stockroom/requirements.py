"""What an exam needs: grams of each salt in tubes, and volumes of each reagent; pure sums.

The rules:
* spare salt is whole spare tubes (4 samples with 20 % are 5 tubes), each tube filled alike;
* a test counts where at least one drawn salt reaches it, and then it counts for every candidate, since every
  bench gets the same bottles: a bottle that stands on one bench only would give the salt away;
* of a confirmatory test only the ways count that show something with a drawn salt;
* the second way of doing a test (`optional`) is left out unless asked for, and of two reagents that stand for
  each other (`instead_of`) one is made ready;
* a bench bottle holds what the candidates at that bench use in all sittings, with spare; the whole amount is
  never less than all bench bottles together.
"""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from examkit.chemistry.uses import uses, uses_before
from examkit.stockroom.amounts import Amount, BALANCE_g, exact, measured_mL, spare_pieces, up_to, with_spare
from examkit.stockroom.errors import StockError, UnknownSubstance

MG_IN_G = 1000
STRIP_g = Decimal("0.02")  # what a strip of test paper is taken to weigh, where stock is kept in mg
BENCH, FUME_CUPBOARD = "bench", "fume cupboard"


@dataclass(frozen=True)
class SaltNeed:
    """One salt to weigh: its tubes with the spare ones, grams in each and in all, and the codes they get."""

    salt: str
    codes: tuple[str, ...]
    tubes: int
    tube_g: Decimal
    total_g: Decimal

    @property
    def spare_tubes(self):
        """Tubes without a code, to replace a lost one."""
        return self.tubes - len(self.codes)


@dataclass(frozen=True)
class ReagentNeed:
    """One reagent to put ready: for a candidate, in a bench bottle, in all; where, and for which tests."""

    reagent: str
    each: Amount
    bottle: Amount
    total: Amount
    place: str
    tests: tuple[str, ...]


@dataclass(frozen=True)
class Seating:
    """How many candidates there are, at how many places, and how often the busiest place is used."""

    candidates: int
    places: int
    visits: int


def salts_to_weigh(samples, *, sample_mg, spare_percent):
    """The salts of `samples` (pairs of code and salt), each with its tubes and grams.

    >>> salts_to_weigh([("B2", "KCl"), ("A1", "KCl")], sample_mg=1500, spare_percent=20)[0].total_g
    Decimal('4.50')
    """
    if sample_mg <= 0:
        raise StockError(f"A sample of {sample_mg} mg cannot be weighed. Give the exam a sample mass.")
    codes = defaultdict(list)
    for code, salt in samples:
        codes[salt].append(code)
    tube_g = up_to(Decimal(sample_mg) / MG_IN_G, BALANCE_g)
    return tuple(_salt_need(salt, sorted(codes[salt]), tube_g, spare_percent) for salt in sorted(codes))


def _salt_need(salt, codes, tube_g, spare_percent):
    tubes = spare_pieces(len(codes), spare_percent)
    return SaltNeed(salt, tuple(codes), tubes, tube_g, tubes * tube_g)


def reached(records):
    """The tests that at least one expected record (as JSON) does, each with the facets it shows."""
    tests, order = defaultdict(set), {}
    for record in records:
        for number, line in enumerate(record["lines"]):
            order.setdefault(line["test"], number)
            if line["done"]:
                tests[line["test"]] |= {outcome["facet"] for outcome in line["seen"]}
    return {test: tests[test] for test in sorted(tests, key=order.get)}


def reagents_to_ready(kb, records, seating, *, spare_percent, optional=False, instead=()):
    """The reagents for an exam, in the order in which its scheme first uses them.

    `records` are the expected records of the drawn salts, as JSON. `instead` holds keys of reagents that are
    taken in place of those that they can stand for (say, one that is warmed in place of a gas).
    """
    each, tests = {}, defaultdict(list)
    for test, use in _uses(kb, records, optional, set(instead)):
        key, amount = use.reagent, _amount(kb, use)
        each[key] = each[key] + amount if key in each else amount
        if test not in tests[key]:
            tests[key].append(test)
    return tuple(_reagent_need(kb, key, each[key], tests[key], seating, spare_percent) for key in each)


def _uses(kb, records, optional, instead):
    """Test and Use of all that is used, the scheme's order kept, as the scheme itself does its tests."""
    tests = reached(records)
    anions = {anion for record in records for anion in record["anions"]}
    for stage in _stages(kb, records):
        if stage.test not in tests:
            continue
        found = uses(kb.tests[stage.test], stage)
        replaced = {use.instead_of for use in found if use.reagent in instead and use.instead_of}
        for use in found:
            if _used(use, tests[stage.test], optional, instead) and use.reagent not in replaced:
                yield stage.test, use
        if anions & set(stage.removes):
            yield from ((stage.test, use) for use in uses_before(stage))


def _stages(kb, records):
    """The stages of the schemes of these records, each scheme once (an exam has one)."""
    schemes = dict.fromkeys(record["scheme"] for record in records)
    return [stage for key in schemes for stage in kb.schemes[key].stages]


def _used(use, facets, optional, instead):
    if use.facet and use.facet not in facets:
        return False
    if use.optional and not optional:
        return False
    return not use.instead_of or use.reagent in instead


def _amount(kb, use):
    """What one candidate uses of a reagent: mL, g, or strips of a test paper."""
    if use.reagent not in kb.reagents:
        raise UnknownSubstance(f"The knowledge base has no reagent '{use.reagent}'.")
    if use.strips:
        return Amount(Decimal(use.strips), "strips")
    return Amount(exact(use.volume_mL), "mL") if use.volume_mL else Amount(exact(use.mass_g), "g")


def _reagent_need(kb, key, each, tests, seating, spare_percent):
    needed = Amount(with_spare(each.value * seating.candidates, spare_percent), each.unit).ready
    place = FUME_CUPBOARD if in_fume_cupboard(kb, kb.reagents[key]) else BENCH
    if place == FUME_CUPBOARD:
        return ReagentNeed(key, each, needed, needed, place, tuple(tests))
    bottle = Amount(with_spare(each.value * seating.visits, spare_percent), each.unit).ready
    total = max(needed.value, _ready_value(bottle.value * seating.places, each.unit))
    return ReagentNeed(key, each, bottle, Amount(total, each.unit), place, tuple(tests))


def _ready_value(value, unit):
    return measured_mL(value) if unit == "mL" else value


def in_fume_cupboard(kb, reagent):
    """Whether the reagent stands in the fume cupboard and not on a bench."""
    rule = kb.waste["fume_cupboard"]
    return reagent.kind in rule["kinds"] or bool(set(rule["statements"]) & set(reagent.hazards.statements))
