"""The make-up of a reagent and the source of a substance, in sentences."""

from django.utils.translation import gettext as _

from examkit.chemistry import formula
from examkit.stockroom.amounts import Amount, plain, weighed_g
from examkit.stockroom.makeup import ACID, SOLVENT, STOCK
from examkit.stockroom.shelf import bottle_text
from examkit.stockroom.sums import SOLUTIONS, TESTS, TUBES

PIPETTE_mL, CYLINDER_SIZES_mL = 10, (25, 50, 100, 250, 500, 1000)


def name_of(kb, substance):
    """A reagent's or salt's name; the set formula for a solid that has no file of its own."""
    if substance in kb.reagents:
        return kb.reagents[substance].name
    return kb.salts[substance].name if substance in kb.salts else formula.pretty(substance)


def full_name(kb, substance):
    """Name and, for a salt or a solid, the formula as set in print."""
    name, set_formula = name_of(kb, substance), formula.pretty(substance)
    return name if substance in kb.reagents or name == set_formula else f"{name}, {set_formula}"


def order_name(kb, substance):
    """The name under which something is ordered; a bare formula says which reagent it is for."""
    name = name_of(kb, substance)
    if substance in kb.reagents or substance in kb.salts:
        return name
    users = (r for r in kb.reagents.values() if (r.made_from or {}).get("solid") == substance)
    reagent = next(users, None)
    if not reagent:
        return name
    return _("%(formula)s, for: %(reagent)s") % {"formula": name, "reagent": reagent.name}


def make_up_steps(kb, recipe, swaps=None):
    """How a reagent is made up, step by step; the knowledge base's own procedure stands in the middle.

    `swaps` holds, by substance, another hydrate of the shelf that may be weighed in its place.
    """
    lines = [text for ingredient in recipe.ingredients for text in (
        _ingredient(kb, recipe, ingredient), _swap(kb, ingredient, (swaps or {}).get(ingredient.substance)))]
    lines.append(_procedure(kb, recipe))
    if recipe.makes.unit == "mL":
        lines += [_filled_up(kb, recipe), _("Label the bottle: name, strength, hazards, date, initials.")]
    return [line for line in lines if line]


def _swap(kb, ingredient, swapped):
    """The other hydrate, where the shelf has one."""
    if not swapped:
        return ""
    amount = Amount(weighed_g(ingredient.amount.value * swapped.factor), "g")
    return _("In its place, from the shelf: %(what)s, weigh out %(amount)s (another hydrate).") % {
        "what": full_name(kb, swapped.taken.bottle.substance), "amount": amount}


def with_what(volume_mL):
    """What a volume is measured with: the smallest that holds it (common practice)."""
    if volume_mL <= PIPETTE_mL:
        return _("graduated pipette of %(size)d mL") % {"size": PIPETTE_mL}
    size = next((size for size in CYLINDER_SIZES_mL if volume_mL <= size), CYLINDER_SIZES_mL[-1])
    return _("measuring cylinder of %(size)d mL") % {"size": size}


def _procedure(kb, recipe):
    if recipe.ingredients[0].substance == recipe.reagent:  # a stronger bottle of the same, diluted
        return _("Pour it into most of the water, with stirring: an acid into water, never the reverse.")
    return kb.reagents[recipe.reagent].procedure


def _filled_up(kb, recipe):
    solvent = next((i.substance for i in recipe.ingredients if i.role == SOLVENT), None)
    words = {"amount": recipe.makes, "with": name_of(kb, solvent) if solvent else _("distilled water")}
    return _("Fill up to %(amount)s with %(with)s.") % words


def _ingredient(kb, recipe, ingredient):
    words = {"amount": ingredient.amount, "what": full_name(kb, ingredient.substance)}
    if ingredient.substance == recipe.reagent:
        return _("Bottle of %(strength)s mol/L: measure %(amount)s (%(tool)s).") % (
            words | {"strength": plain(recipe.stock_mol_L), "tool": with_what(ingredient.amount.value)})
    if ingredient.role == STOCK:
        return _("%(what)s, %(strength)s mol/L: measure %(amount)s (%(tool)s).") % (
            words | {"strength": plain(recipe.stock_mol_L), "tool": with_what(ingredient.amount.value)})
    if ingredient.role == SOLVENT:
        return _("%(what)s: have %(amount)s ready, to dissolve it in and to fill up with.") % words
    if ingredient.role == ACID:
        return _("%(what)s: have %(amount)s ready, twice what the equation asks for.") % words
    if ingredient.amount.unit == "g":
        return _("%(what)s: weigh out %(amount)s.") % words
    return _("%(what)s: measure %(amount)s (%(tool)s).") % (
        words | {"tool": with_what(ingredient.amount.value)})


def summed(parts):
    """What one jar is needed for, part by part, with their sum; nothing where it is for one use."""
    if len(parts) < 2:
        return ""
    words = {TUBES: _("%(amount)s in tubes"), TESTS: _("%(amount)s as a reagent of the tests"),
             SOLUTIONS: _("%(amount)s to make up reagents")}
    told = [words[use] % {"amount": amount} for amount, use in parts]
    whole = sum((amount for amount, _use in parts[1:]), parts[0][0])
    return _("One jar for all its uses: %(parts)s, %(whole)s in all.") % {
        "parts": " + ".join(told), "whole": whole}


def where_from(kb, line):
    """Where a substance comes from, one sentence for each bottle, make-up and order."""
    for taken in line.ready:
        yield _("From the shelf: %(amount)s (bottle of %(bottle)s%(made)s).") % {
            "amount": taken.amount, "bottle": bottle_text(taken.bottle), "made": _made_on(taken.bottle)}
    for diluted in line.diluted:
        yield _("From the shelf, diluted: %(taken)s of %(what)s (bottle of %(bottle)s) to %(makes)s.") % {
            "taken": diluted.taken.amount, "what": name_of(kb, diluted.taken.bottle.substance),
            "bottle": bottle_text(diluted.taken.bottle), "makes": diluted.recipe.makes}
    for swapped in line.swapped:
        yield _("From the shelf, another hydrate: %(taken)s of %(what)s for %(amount)s.") % {
            "taken": swapped.taken.amount, "what": name_of(kb, swapped.taken.bottle.substance),
            "amount": swapped.stands_for}
    if line.made:
        yield _("Make up %(makes)s.") % {"makes": line.made.makes}
    if line.order:
        yield _("Not on the shelf: order %(amount)s.") % {"amount": line.order}
    for bottle in line.too_weak:
        yield _("Not used, weaker than wanted: bottle of %(bottle)s.") % {"bottle": bottle_text(bottle)}


def _made_on(bottle):
    return _(", made on %(date)s") % {"date": bottle.made_on} if bottle.made_on else ""
