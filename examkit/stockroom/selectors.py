"""What the stock room's pages and lists show, each line with its tick; no candidates' names."""

from dataclasses import dataclass, replace
from functools import cache

from examkit.chemistry import formula
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import State
from examkit.stockroom.amounts import Amount
from examkit.stockroom.makeup import Recipe
from examkit.stockroom.requirements import (
    ReagentNeed,
    SaltNeed,
    Seating,
)
from examkit.stockroom.shelf import StockLine, one_name
from examkit.stockroom.sums import records_on_shelf, sums_of
from examkit.stockroom.tryouts import Tryout, tryouts
from examkit.stockroom.waste import Container, containers, volumes
from examkit.stockroom.wording import make_up_steps, order_name, summed, where_from

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
    kb = knowledge(exam.centre)
    sums = sums_of(exam, kb)
    if sums is None:
        return None
    ticks = _ticks(exam)
    return StockList(
        salts=tuple(_salt_row(kb, need, sums, ticks) for need in sums.salts),
        reagents=tuple(_with_tryouts(exam, kb, sums.records, _reagent_rows(kb, sums, ticks))),
        orders=_orders(kb, sums.lines.values()),
        waste=_waste(kb, sums, ticks),
        seating=sums.seats,
        signed_off=_signed_off(exam, ticks),
    )


def items_of(exam):
    """The keys of all lines of an exam's list, without the words and volumes that pages show."""
    kb = knowledge(exam.centre)
    sums = sums_of(exam, kb)
    if sums is None:
        return set()
    return {
        *(f"salt:{need.salt}" for need in sums.salts),
        *(f"reagent:{key}" for key in sums.reagent_keys(kb)),
        *(f"bottle:{need.reagent}" for need in sums.reagents),
        *(f"waste:{found.key}" for found in containers(kb, sums.thrown_away(kb))),
    }


def _orders(kb, lines):
    """What is missing, by name."""
    missing = [Order(order_name(kb, line.substance), line.order) for line in lines if line.order]
    return tuple(sorted(missing, key=lambda order: order.name.casefold()))


def _signed_off(exam, ticks):
    """Whether the stock room has signed off: the exam's state says it, the tick says who and when."""
    tick = ticks.get(SIGN_OFF, Tick(SIGN_OFF))
    return replace(tick, done=exam.state not in (State.DRAFT, State.DRAWN))


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


def _salt_row(kb, need, sums, ticks):
    parts = [part.salt for part in read_specimen(kb, need.salt).parts]
    item = f"salt:{need.salt}"
    return SaltRow(
        need=need,
        name=" + ".join(salt.name for salt in parts),
        formula=" + ".join(formula.pretty(salt.formula) for salt in parts),
        hazards=tuple(text for salt in parts for text in hazard_texts(kb, salt.hazards)),
        keeping=tuple(salt.keeping for salt in parts if salt.keeping),
        source=tuple(text for salt in parts for text in _source(kb, sums, one_name(kb, salt.formula))),
        tick=ticks.get(item, Tick(item)),
    )


def _source(kb, sums, name):
    """Where a substance comes from, and the parts of its amount where it is for more than one use."""
    parts = summed(sums.parts(kb, name))
    return ([parts] if parts else []) + list(where_from(kb, sums.lines[name]))


def _reagent_rows(kb, sums, ticks):
    by_key = {need.reagent: need for need in sums.reagents}
    swaps = {name: line.swapped[0] for name, line in sums.lines.items() if line.swapped}
    for key in sums.reagent_keys(kb):
        row = _reagent_row(kb, key, by_key.get(key), sums.lines[key], ticks, swaps)
        yield replace(row, source=tuple(_source(kb, sums, key)))


def _with_tryouts(exam, kb, kept, rows):
    """The rows that tests use, each with how its bottle is tried; the shelf's salts are read once at most."""
    on_shelf = cache(lambda: records_on_shelf(exam))
    for row in rows:
        yield replace(row, tryout=tryouts(kb, kept, row.need, on_shelf)) if row.need else row


def _reagent_row(kb, key, need, line, ticks, swaps):
    reagent = kb.reagents[key]
    made = [*(d.recipe for d in line.diluted), *([line.made] if line.made else [])]
    return ReagentRow(
        key=key, name=reagent.name, need=need, line=line,
        source=(),
        recipes=tuple((recipe, tuple(make_up_steps(kb, recipe, swaps))) for recipe in made),
        cautions=reagent.cautions, hazards=hazard_texts(kb, reagent.hazards), signal=reagent.hazards.signal,
        shelf_life=reagent.shelf_life,
        tick=ticks.get(f"reagent:{key}", Tick(f"reagent:{key}")),
        tried=ticks.get(f"bottle:{key}", Tick(f"bottle:{key}")),
    )


def _waste(kb, sums, ticks):
    shares = zip(sums.records, [len(need.codes) for need in sums.salts], strict=True)
    found = containers(kb, sums.thrown_away(kb), volumes(kb, shares))
    return tuple((c, ticks.get(f"waste:{c.key}", Tick(f"waste:{c.key}"))) for c in found)
