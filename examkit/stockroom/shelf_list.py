"""What the shelf's page shows, bottle by bottle."""

from dataclasses import dataclass
from decimal import Decimal

from examkit.chemistry import formula
from examkit.knowledge import knowledge
from examkit.models import ShelfItem
from examkit.stockroom.amounts import Amount, plain
from examkit.stockroom.selectors import hazard_texts
from examkit.stockroom.services import recipe_solids
from examkit.stockroom.sums import shown_amount
from examkit.stockroom.wording import full_name


@dataclass(frozen=True)
class ShelfRow:
    """A bottle as it is shown."""

    item: ShelfItem
    name: str
    amount: Amount
    strength_mol_L: str
    shelf_life: str
    hazards: tuple[str, ...]


def shelf_rows(centre):
    """All bottles of a centre, by name."""
    kb = knowledge(centre)
    rows = [_row(kb, item) for item in ShelfItem.objects.filter(centre=centre)]
    return sorted(rows, key=lambda row: row.name.casefold())


def _row(kb, item):
    known = kb.reagents.get(item.substance) or kb.salts.get(item.substance)
    strength = "" if item.strength_mmol_L is None else plain(Decimal(item.strength_mmol_L) / 1000)
    return ShelfRow(
        item=item, name=full_name(kb, item.substance),
        amount=shown_amount(kb, item.substance, item.amount), strength_mol_L=strength,
        shelf_life=getattr(known, "shelf_life", "") or getattr(known, "keeping", ""),
        hazards=hazard_texts(kb, known.hazards) if known else (),
    )


def bottle_initial(item):
    """The values that the form of a bottle starts with."""
    amount = shown_amount(knowledge(item.centre), item.substance, item.amount)
    strength = None if item.strength_mmol_L is None else Decimal(item.strength_mmol_L) / 1000
    return {"substance": item.substance, "amount": plain(amount.value), "made_on": item.made_on,
            "strength_mol_L": strength and plain(strength), "note": item.note, "was": item.amount,
            "lot": item.lot, "grade": item.grade, "percent_w_w": _over(item.percent_w_w_hundredths, 100),
            "density_g_mL": _over(item.density_mg_mL, 1000)}


def _over(stored, parts):
    return None if stored is None else plain(Decimal(stored) / parts)


def substance_names(centre):
    """Pairs to choose from: what the form takes, and what is said beside it."""
    kb = knowledge(centre)
    reagents = [(reagent.name, "") for reagent in kb.reagents.values()]
    salts = [(salt.formula, salt.name) for salt in kb.salts.values()]
    solids = [(solid, formula.pretty(solid)) for solid in recipe_solids(kb) - set(kb.salts)]
    return sorted({*reagents, *salts, *solids}, key=lambda pair: (pair[1] or pair[0]).casefold())
