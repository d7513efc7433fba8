"""What is taken from the shelf, what is made up, and what must be ordered; pure sums.

For each reagent, in this order: bottles of the right strength; stronger ones, diluted; made up by its recipe,
in the next larger flask, from what the recipe names; what is then still missing is ordered. What a recipe
takes is added to the need of that substance, so that a stock is enough for its dilutions and for its own use.
A strength within 5 % of the wanted one is right: the tests are qualitative. A weaker bottle is not used, and
the list says so. For a solution, though never for the tubes, another hydrate of a solid is as good: more or
less of it is weighed, as its molar mass says.
"""

import re
from collections import defaultdict
from dataclasses import dataclass, field
from decimal import ROUND_FLOOR, Decimal
from graphlib import TopologicalSorter

from examkit.stockroom.amounts import Amount, flask_mL, molar_mass_g_mol, plain, weighed_g
from examkit.stockroom.makeup import Recipe, dilution, recipe, strength_of

RIGHT_WITHIN = Decimal("0.05")
WATER = re.compile(r"\.(\d+(/\d+)?)?H2O$")


@dataclass(frozen=True)
class Bottle:
    """A bottle of the shelf; no strength means that it is what its name says."""

    pk: int
    substance: str
    amount: Amount
    strength_mol_L: Decimal | None = None
    made_on: object = None
    note: str = ""


@dataclass(frozen=True)
class Taken:
    """So much from one bottle."""

    bottle: Bottle
    amount: Amount


@dataclass(frozen=True)
class Diluted:
    """A stronger bottle, diluted."""

    taken: Taken
    recipe: Recipe


@dataclass(frozen=True)
class Swapped:
    """Another hydrate, taken in place of so much of the one that a recipe names."""

    taken: Taken
    stands_for: Amount

    @property
    def factor(self):
        """Grams of it for one gram of the other."""
        return self.taken.amount.value / self.stands_for.value


@dataclass(frozen=True)
class StockLine:
    """One substance: how much is needed, and where it comes from."""

    substance: str
    need: Amount
    ready: tuple[Taken, ...]
    diluted: tuple[Diluted, ...]
    made: Recipe | None
    order: Amount
    too_weak: tuple[Bottle, ...]
    swapped: tuple[Swapped, ...] = ()


@dataclass
class _Shelf:
    """The bottles while they are being used up."""

    kb: object
    bottles: dict[str, list[Bottle]]
    left: dict[int, Amount] = field(default_factory=dict)

    def take(self, bottle, amount):
        """Take up to `amount` from a bottle; says what was got."""
        there = self.left.get(bottle.pk, bottle.amount)
        got = Amount(max(min(amount.value, there.value), Decimal(0)), there.unit)
        self.left[bottle.pk] = there - got
        return Taken(bottle, got)


def one_name(kb, substance):
    """The one name of a substance: a solid reagent and the same salt are one jar.

    A reagent key stays; the formula of a solid reagent becomes its key; any other formula stays.
    """
    if substance in kb.reagents:
        return substance
    return next((key for key, reagent in kb.reagents.items()
                 if reagent.kind == "solid" and reagent.formula == substance), substance)


def stock_lines(kb, needs, bottles):
    """Where everything in `needs` (substance to Amount) and all that is made from it comes from.

    The lines come with those that are made from others first.
    """
    need = _gathered(kb, needs.items())
    shelf, in_recipes = _Shelf(kb, _by_substance(kb, bottles)), {}
    lines = []
    for substance in _users_first(kb, need):
        if need.get(substance):
            line = _line(shelf, substance, need[substance], in_recipes.get(substance))
            need = _gathered(kb, [*need.items(), *_ingredients(line)])
            in_recipes = _gathered(kb, [*in_recipes.items(), *_ingredients(line)])
            lines.append(line)
    return tuple(lines)


def _gathered(kb, pairs):
    total = {}
    for substance, amount in pairs:
        name = one_name(kb, substance)
        total[name] = total[name] + amount if name in total else amount
    return total


def _by_substance(kb, bottles):
    """Bottles by substance, oldest first, so that the old stock is used up."""
    found = defaultdict(list)
    for bottle in sorted(bottles, key=lambda b: (str(b.made_on or ""), b.pk)):
        found[one_name(kb, bottle.substance)].append(bottle)
    return found


def _users_first(kb, need):
    """All substances, each before those that it is made from."""
    graph = TopologicalSorter()
    for substance in need:
        graph.add(substance)
    for key in kb.reagents:
        made = recipe(kb, key, Amount(Decimal(1), "mL"))
        for ingredient in made.ingredients if made else ():
            graph.add(one_name(kb, ingredient.substance), key)
    return tuple(graph.static_order())


def _ingredients(line):
    """What the recipe of a line adds to the needs (a diluted bottle is already taken from the shelf)."""
    return [(i.substance, i.amount) for i in line.made.ingredients] if line.made else []


def _line(shelf, substance, need, in_recipes):
    wanted, missing = _wanted(shelf.kb, substance), need
    ready, diluted, weak = [], [], []
    for bottle in shelf.bottles[substance]:
        if too_weak(bottle, wanted):
            weak.append(bottle)
        elif missing and not too_strong(bottle, wanted) and bottle.amount.unit == need.unit:
            taken = shelf.take(bottle, missing)
            ready += [taken] if taken.amount else []
            missing = missing - taken.amount
    swapped = tuple(_swapped(shelf, substance, missing, in_recipes)) if in_recipes else ()
    for each in swapped:
        missing = missing - each.stands_for
    for bottle in _stronger(shelf, substance, wanted) if missing and need.unit == "mL" else ():
        made = _dilute(shelf, substance, bottle, missing)
        if made:
            diluted.append(made)
            missing = missing - made.recipe.makes
        if not missing:
            break
    made = _made(shelf.kb, substance, missing) if missing else None
    order = Amount(Decimal(0), need.unit) if made or not missing else missing.ready
    return StockLine(substance, need, tuple(ready), tuple(diluted), made, order, tuple(weak), swapped)


def _swapped(shelf, substance, missing, in_recipes):
    """What other hydrates on the shelf give of what is missing and goes into solutions."""
    wanted = solid_formula(shelf.kb, substance)
    left = Amount(min(missing.value, in_recipes.value), missing.unit)
    for bottle in _other_hydrates(shelf, substance, wanted) if wanted and left.unit == "g" else ():
        factor = molar_mass_g_mol(solid_formula(shelf.kb, bottle.substance)) / molar_mass_g_mol(wanted)
        taken = shelf.take(bottle, Amount(weighed_g(left.value * factor), "g")) if left else None
        if taken and taken.amount:
            gives = Amount(min(left.value, taken.amount.value / factor), "g")
            left = left - gives
            yield Swapped(taken, gives)


def _other_hydrates(shelf, substance, wanted):
    for name, bottles in list(shelf.bottles.items()):
        other = solid_formula(shelf.kb, name)
        if name != substance and other and other != wanted and dry(other) == dry(wanted):
            yield from bottles


def solid_formula(kb, substance):
    """The formula of a solid, salt or solid reagent; empty where it is none."""
    if substance in kb.reagents:
        return kb.reagents[substance].formula if kb.reagents[substance].kind == "solid" else ""
    return substance


def dry(text):
    """A formula without its crystal water.

    >>> dry("CuSO4.5H2O"), dry("CuSO4")
    ('CuSO4', 'CuSO4')
    """
    return WATER.sub("", text)


def _wanted(kb, substance):
    return strength_of(kb.reagents[substance]) if substance in kb.reagents else None


def too_weak(bottle, wanted_mol_L):
    """Whether a bottle is weaker than wanted by more than the tolerance."""
    return _stated(bottle, wanted_mol_L) and bottle.strength_mol_L < wanted_mol_L * (1 - RIGHT_WITHIN)


def too_strong(bottle, wanted_mol_L):
    """Whether a bottle is stronger than wanted by more than the tolerance."""
    return _stated(bottle, wanted_mol_L) and bottle.strength_mol_L > wanted_mol_L * (1 + RIGHT_WITHIN)


def _stated(bottle, wanted_mol_L):
    return bottle.strength_mol_L is not None and wanted_mol_L is not None


def _stronger(shelf, substance, wanted):
    """Bottles to dilute: its own that are stronger, strongest first, then those of its stock."""
    own = [b for b in shelf.bottles[substance] if too_strong(b, wanted)]
    stock = _stock_key(shelf.kb, substance)
    others = [b for b in shelf.bottles[stock] if wanted and _strength(shelf.kb, b) > wanted] if stock else []
    return sorted(own, key=lambda b: -b.strength_mol_L) + others


def _stock_key(kb, substance):
    """The reagent that this one is nothing but a dilution of."""
    made = kb.reagents[substance].made_from if substance in kb.reagents else {}
    return made.get("stock") if not made.get("additives") else None


def _strength(kb, bottle):
    return bottle.strength_mol_L or strength_of(kb.reagents[bottle.substance]) or Decimal(0)


def _dilute(shelf, substance, bottle, missing):
    """As much of the missing volume as the bottle gives, in the next larger flask where it is enough."""
    there = shelf.left.get(bottle.pk, bottle.amount)
    strength = _strength(shelf.kb, bottle)
    gives_mL = (there.value * strength / _wanted(shelf.kb, substance)).to_integral_value(ROUND_FLOOR)
    makes = Amount(min(flask_mL(missing.value), gives_mL), "mL")
    if not makes:
        return None
    made = dilution(shelf.kb, substance, makes, bottle.substance, stock_mol_L=strength)
    return Diluted(shelf.take(bottle, made.ingredients[0].amount), made)


def _made(kb, substance, missing):
    if substance not in kb.reagents or kb.reagents[substance].kind == "paper":
        return None
    amount = Amount(flask_mL(missing.value), "mL") if missing.unit == "mL" else missing
    return recipe(kb, substance, amount)


def bottle_text(bottle):
    """A bottle in short: what is in it and how strong."""
    strength = f", {plain(bottle.strength_mol_L)} mol/L" if bottle.strength_mol_L is not None else ""
    return f"{bottle.amount}{strength}"
