"""How a reagent is made up: what is weighed or measured for a volume of it; pure sums."""

from dataclasses import dataclass
from decimal import Decimal

from examkit.chemistry import formula
from examkit.stockroom.amounts import (
    Amount,
    LITRE_mL,
    drawn_mL,
    exact,
    molar_mass_g_mol,
    solid_g,
    stock_mL,
    weighed_g,
)
from examkit.stockroom.amounts import strength_mol_L as strength_from_density
from examkit.stockroom.errors import StockError, UnknownSubstance

SOLID, STOCK, ADDITIVE, SOLVENT, ACID = "solid", "stock", "additive", "solvent", "acid"
GENEROUS = 2  # a gas generator gets twice the acid that the equation asks for (common practice)


@dataclass(frozen=True)
class Ingredient:
    """What goes into a reagent: a reagent by key or a solid by formula, how much, and as what."""

    substance: str
    amount: Amount
    role: str


@dataclass(frozen=True)
class Recipe:
    """The make-up of one reagent: how much comes out, from what; the stock's strength if one is diluted."""

    reagent: str
    makes: Amount
    ingredients: tuple[Ingredient, ...]
    stock_mol_L: Decimal | None = None


def reagent_of(kb, key):
    """The reagent with this key."""
    if key not in kb.reagents:
        raise UnknownSubstance(f"The knowledge base has no reagent '{key}'.")
    return kb.reagents[key]


def strength_of(reagent):
    """Strength (mol/L) of a reagent: as it is stated, else from density and mass per cent, else none."""
    if reagent.strength_mol_L:
        return exact(reagent.strength_mol_L)
    if reagent.percent_w_w and reagent.density_g_mL and reagent.formula and reagent.kind == "concentrated":
        return strength_from_density(
            reagent.formula, density_g_mL=exact(reagent.density_g_mL), percent_w_w=exact(reagent.percent_w_w)
        )
    return None


def recipe(kb, key, amount):
    """The make-up of `amount` of a reagent; None where it is used as bought."""
    reagent = reagent_of(kb, key)
    if not reagent.made_from:
        return None
    if reagent.kind == "gas":
        return _generated(kb, reagent, amount)
    if "stock" in reagent.made_from:
        stock = reagent_of(kb, reagent.made_from["stock"])
        return dilution(kb, key, amount, stock.key, stock_mol_L=strength_of(stock))
    parts = _solid(reagent, amount), *_additives(reagent, amount), *_solvent(reagent, amount)
    return Recipe(key, amount, parts)


def dilution(kb, key, amount, stock, *, stock_mol_L):
    """`amount` (mL) of a reagent from a solution of strength `stock_mol_L`; a weaker one is refused."""
    wanted_mol_L = strength_of(reagent_of(kb, key))
    if wanted_mol_L is None or stock_mol_L is None:
        raise StockError(f"'{key}' from '{stock}': one has no strength in mol/L. Make it from the solid.")
    taken_mL = stock_mL(volume_mL=amount.value, strength_mol_L=wanted_mol_L, stock_mol_L=stock_mol_L)
    return Recipe(key, amount, (Ingredient(stock, Amount(drawn_mL(taken_mL), "mL"), STOCK),), stock_mol_L)


def _solid(reagent, amount):
    """The solid: so many grams per litre, or from the strength, or from the per cent."""
    made, litres = reagent.made_from, amount.value / LITRE_mL
    if made.get("g_per_L"):
        mass_g = exact(made["g_per_L"]) * litres
    elif reagent.strength_mol_L:
        mass_g = solid_g(made["solid"], volume_mL=amount.value, strength_mol_L=exact(reagent.strength_mol_L))
    elif reagent.percent_w_v:
        mass_g = exact(reagent.percent_w_v) * 10 * litres
    else:
        raise StockError(f"'{reagent.key}' says neither strength nor grams per litre. Add one to its file.")
    return Ingredient(made["solid"], Amount(weighed_g(mass_g), "g"), SOLID)


def _additives(reagent, amount):
    litres = amount.value / LITRE_mL
    for extra in reagent.made_from.get("additives", ()):
        what = extra.get("reagent") or extra["solid"]
        if "mL_per_L" in extra:
            yield Ingredient(what, Amount(drawn_mL(exact(extra["mL_per_L"]) * litres), "mL"), ADDITIVE)
        else:
            yield Ingredient(what, Amount(weighed_g(exact(extra["g_per_L"]) * litres), "g"), ADDITIVE)


def _solvent(reagent, amount):
    """A solvent other than water; the whole volume is put ready, since it is filled up with it."""
    if reagent.made_from.get("solvent"):
        yield Ingredient(reagent.made_from["solvent"], Amount(amount.value, "mL"), SOLVENT)


def _generated(kb, reagent, amount):
    """A gas from a solid (its grams are what the tests count) and twice the acid of the equation."""
    made, acid = reagent.made_from, reagent_of(kb, reagent.made_from["with"])
    moles = amount.value / molar_mass_g_mol(made["solid"])
    acid_moles = GENEROUS * moles * _protons(reagent.formula) / _protons(acid.formula)
    acid_mL = acid_moles / strength_of(acid) * LITRE_mL
    solid = Ingredient(made["solid"], Amount(weighed_g(amount.value), "g"), SOLID)
    return Recipe(reagent.key, amount, (solid, Ingredient(acid.key, Amount(drawn_mL(acid_mL), "mL"), ACID)))


def _protons(text):
    """Hydrogen atoms in one formula: what an acid gives and a hydride takes."""
    return Decimal(int(dict(formula.parse(text).elements)["H"]))
