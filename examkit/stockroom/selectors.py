"""What the stock room's pages and lists show, each line with its tick; no candidates' names."""

from collections import Counter
from dataclasses import dataclass, replace
from decimal import Decimal

from examkit.chemistry import formula
from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import ShelfItem, State
from examkit.stockroom.amounts import Amount
from examkit.stockroom.makeup import Recipe
from examkit.stockroom.requirements import (
    ReagentNeed,
    SaltNeed,
    Seating,
    STRIP_g,
    reagents_to_ready,
    salts_to_weigh,
)
from examkit.stockroom.shelf import Bottle, StockLine, one_name, stock_lines
from examkit.stockroom.tryouts import Tryout, tryouts
from examkit.stockroom.waste import Container, containers, volumes
from examkit.stockroom.wording import make_up_steps, order_name, where_from

MG_IN_G = 1000
UL_IN_mL = 1000
SIGN_OFF = "sign-off"


@dataclass(frozen=True)
class Tick:
    """A line of the list: its key, whether it is done, by whom and when, and the version that was shown."""

    item: str
    done: bool = False
    by: str = ""
    at: object = None
    note: str = ""
    version: int = 0


@dataclass(frozen=True)
class SaltRow:
    """A salt to weigh and pack."""

    need: SaltNeed
    name: str
    formula: str
    hazards: tuple[str, ...]
    keeping: tuple[str, ...]
    source: tuple[str, ...]
    tick: Tick


@dataclass(frozen=True)
class ReagentRow:
    """A reagent to put ready: where it comes from, how it is made up, where it goes."""

    key: str
    name: str
    need: ReagentNeed | None
    line: StockLine
    source: tuple[str, ...]
    recipes: tuple[tuple[Recipe, tuple[str, ...]], ...]
    cautions: tuple[str, ...]
    hazards: tuple[str, ...]
    signal: str
    shelf_life: str
    tick: Tick
    tried: Tick
    tryout: Tryout | None = None


@dataclass(frozen=True)
class Order:
    """What is missing on the shelf."""

    name: str
    amount: Amount


@dataclass(frozen=True)
class StockList:
    """All that the stock room has to do for an exam."""

    salts: tuple[SaltRow, ...]
    reagents: tuple[ReagentRow, ...]
    orders: tuple[Order, ...]
    waste: tuple[tuple[Container, Tick], ...]
    seating: Seating
    signed_off: Tick

    @property
    def bench_set(self):
        """What stands on every bench, alike."""
        return [row for row in self.reagents if row.need and row.need.place == "bench"]

    @property
    def cupboard_set(self):
        """What stands in the fume cupboard."""
        return [row for row in self.reagents if row.need and row.need.place != "bench"]

    @property
    def ticks(self):
        """Every tick that the sign-off waits for."""
        rows = [row.tick for row in (*self.salts, *self.reagents)]
        tried = [row.tried for row in self.reagents if row.need]
        return rows + tried + [tick for _container, tick in self.waste]

    @property
    def still_open(self):
        """How many of them are not done."""
        return sum(not tick.done for tick in self.ticks)


def stock_list(exam):
    """The whole list of an exam that is drawn; None before the draw."""
    samples = list(exam.samples.values_list("code", "salt"))
    if not samples:
        return None
    kb, ticks = knowledge(exam.centre), _ticks(exam)
    salts = salts_to_weigh(samples, sample_mg=exam.sample_mg, spare_percent=exam.spare_percent)
    seats, kept = seating(exam), records(exam)
    reagents = reagents_to_ready(kb, kept, seats, spare_percent=exam.spare_percent)
    found = stock_lines(kb, _needs(kb, salts, reagents), bottles(exam.centre))
    lines = {line.substance: line for line in found}
    return StockList(
        salts=tuple(_salt_row(kb, need, lines, ticks) for need in salts),
        reagents=tuple(_with_tryouts(kb, kept, _reagent_rows(kb, reagents, lines, ticks))),
        orders=_orders(kb, lines.values()),
        waste=_waste(kb, kept, salts, reagents, ticks),
        seating=seats,
        signed_off=_signed_off(exam, ticks),
    )


def _orders(kb, lines):
    """What is missing, by name."""
    missing = [Order(order_name(kb, line.substance), line.order) for line in lines if line.order]
    return tuple(sorted(missing, key=lambda order: order.name.casefold()))


def _signed_off(exam, ticks):
    """Whether the stock room has signed off: the exam's state says it, the tick says who and when."""
    tick = ticks.get(SIGN_OFF, Tick(SIGN_OFF))
    return replace(tick, done=exam.state not in (State.DRAFT, State.DRAWN))


def records(exam):
    """The expected records of the drawn salts, as JSON: the frozen ones; computed where one is missing."""
    frozen = dict(exam.expected.values_list("salt", "record"))
    salts = sorted(set(exam.samples.values_list("salt", flat=True)))
    return [frozen.get(salt) or _computed(exam, salt) for salt in salts]


def _computed(exam, salt):
    kb = knowledge(exam.centre)
    grams = kb.schemes[exam.scheme].grams
    return expect(kb, read_specimen(kb, salt, grams=grams), exam.scheme).as_json()


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


def _ticks(exam):
    """Ticks by item."""
    rows = exam.preparations.select_related("by")
    return {r.item: Tick(r.item, r.done, str(r.by or ""), r.at, r.note, r.version) for r in rows}


def tick_of(exam, item):
    """One tick as it stands now."""
    return _ticks(exam).get(item, Tick(item))


def hazard_texts(kb, hazards):
    """The hazard statements in words, each with its code."""
    return tuple(f"{code}: {kb.statements.get(code, '')}" for code in hazards.statements)


def _salt_row(kb, need, lines, ticks):
    parts = [part.salt for part in read_specimen(kb, need.salt).parts]
    item = f"salt:{need.salt}"
    return SaltRow(
        need=need,
        name=" + ".join(salt.name for salt in parts),
        formula=" + ".join(formula.pretty(salt.formula) for salt in parts),
        hazards=tuple(text for salt in parts for text in hazard_texts(kb, salt.hazards)),
        keeping=tuple(salt.keeping for salt in parts if salt.keeping),
        source=tuple(text for salt in parts for text in where_from(kb, lines[one_name(kb, salt.formula)])),
        tick=ticks.get(item, Tick(item)),
    )


def _reagent_rows(kb, needs, lines, ticks):
    """The reagents that the tests use, in order of use, then those that are only made on the way."""
    by_key = {need.reagent: need for need in needs}
    on_the_way = [key for key in lines if key in kb.reagents and key not in by_key and lines[key].made]
    swaps = {name: line.swapped[0] for name, line in lines.items() if line.swapped}
    for key in [*by_key, *on_the_way]:
        yield _reagent_row(kb, key, by_key.get(key), lines[key], ticks, swaps)


def _with_tryouts(kb, kept, rows):
    """The rows that tests use, each with how its bottle is tried."""
    for row in rows:
        yield replace(row, tryout=tryouts(kb, kept, row.need)) if row.need else row


def _reagent_row(kb, key, need, line, ticks, swaps):
    reagent = kb.reagents[key]
    made = [*(d.recipe for d in line.diluted), *([line.made] if line.made else [])]
    return ReagentRow(
        key=key, name=reagent.name, need=need, line=line,
        source=tuple(where_from(kb, line)),
        recipes=tuple((recipe, tuple(make_up_steps(kb, recipe, swaps))) for recipe in made),
        cautions=reagent.cautions, hazards=hazard_texts(kb, reagent.hazards), signal=reagent.hazards.signal,
        shelf_life=reagent.shelf_life,
        tick=ticks.get(f"reagent:{key}", Tick(f"reagent:{key}")),
        tried=ticks.get(f"bottle:{key}", Tick(f"bottle:{key}")),
    )


def _waste(kb, kept, salts, reagents, ticks):
    substances = [part.salt for need in salts for part in read_specimen(kb, need.salt).parts]
    used = [kb.reagents[need.reagent] for need in reagents]
    substances += [reagent for reagent in used if reagent.kind != "paper"]
    shares = zip(kept, [len(need.codes) for need in salts], strict=True)
    found = containers(kb, substances, volumes(kb, shares))
    return tuple((c, ticks.get(f"waste:{c.key}", Tick(f"waste:{c.key}"))) for c in found)
