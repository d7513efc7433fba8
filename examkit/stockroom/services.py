"""What the stock room writes: ticks, bottles of the shelf, each change with its audit entry."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.errors import ChangedMeanwhile, Refused
from examkit.knowledge import knowledge
from examkit.models import Preparation, ShelfItem, State
from examkit.planning.services.guard import locked, reasoned
from examkit.stockroom.amounts import exact
from examkit.stockroom.amounts import strength_mol_L as bought_mol_L
from examkit.stockroom.errors import StockError, UnknownSubstance
from examkit.stockroom.requirements import STRIP_g
from examkit.stockroom.selectors import items_of, tick_of
from examkit.stockroom.shelf import dry
from examkit.stockroom.sums import MG_IN_G, UL_IN_mL, shown_amount, unit_of

MMOL_IN_MOL, PER_CENT = 1000, 100
STANDS = ("amount", "strength_mmol_L", "made_on", "lot", "grade", "note", "percent_w_w_hundredths",
          "density_mg_mL")


@transaction.atomic
def tick(*, exam, who, item, done, note="", why="", version):
    """Set a line of the list to done, or open it again with a reason; a stale page is told what stands."""
    refuse_unless_open(exam)
    if item not in items_of(exam):
        raise Refused(_("'%(item)s' is not on the list of this exam.") % {"item": item})
    row = _locked(exam, item, version)
    detail = {"why": reasoned(why)} if row.done and not done else {}
    row.done, row.by, row.note, row.version = done, who, note[:300], row.version + 1
    row.save()
    audit.record(centre=exam.centre, who=who, what="stock line done" if done else "stock line opened",
                 about=f"{exam}: {item}", detail={"exam": exam.pk, "note": row.note} | detail)
    return tick_of(exam, item)


def _locked(exam, item, version):
    """The row of an item, locked, if it is still as the page showed it."""
    row, _new = Preparation.objects.select_for_update().get_or_create(
        exam=exam, item=item, defaults={"version": 0})
    if row.version != version:
        raise ChangedMeanwhile(_stale(row), theirs=tick_of(exam, item))
    return row


def _stale(row):
    state = _("done") if row.done else _("open")
    return _("%(who)s set this to '%(state)s' meanwhile; your page was older. Look, then try again.") % {
        "who": row.by, "state": state}


def refuse_unless_open(exam):
    """Hold the exam; refuse unless it is drawn and not signed off, as the page saw it and as it is now."""
    states = {exam.state, locked(exam).state}
    if State.DRAFT in states:
        raise Refused(_("This exam is not drawn yet, so nothing can be prepared. A teacher draws it first."))
    if states != {State.DRAWN}:
        raise Refused(_("The stock room has signed off. To change the list a teacher takes the exam back."))


@transaction.atomic
def shelf_add(*, centre, who, substance, amount, strength_mol_L=None, **told):
    """Put a bottle on the shelf: `amount` in g of a solid, mL of a liquid, strips of a paper.

    `told` may hold made_on, lot, grade, note, percent_w_w and density_g_mL.
    """
    name = known_substance(substance, centre)
    item = ShelfItem(centre=centre, substance=name, amount=_stored(centre, name, amount))
    _describe(item, strength_mol_L, **told)
    item.save()
    _record(item, who, "bottle added")
    return item


@transaction.atomic
def shelf_change(*, item, who, amount, strength_mol_L=None, was, **told):
    """Correct a bottle; `was` is the stored amount that the form was filled with; `told` as for a new one."""
    item = _fresh(item, was)
    before = stood(item)
    item.amount = _stored(item.centre, item.substance, amount)
    _describe(item, strength_mol_L, **told)
    item.save()
    _record(item, who, "bottle changed", was=was, before=before, after=stood(item))
    return item


@transaction.atomic
def shelf_use(*, item, who, amount, why="", was):
    """Take `amount` (g, mL or strips) out of a bottle; an empty one goes from the shelf."""
    item = _fresh(item, was)
    taken = _stored(item.centre, item.substance, amount)
    if taken > item.amount:
        there = shown_amount(knowledge(item.centre), item.substance, item.amount)
        raise StockError(_("There are only %(there)s in this bottle. Take less, or correct the bottle.")
                         % {"there": there})
    before = stood(item)
    item.amount -= taken
    _record(item, who, "bottle used", taken=taken, why=why, before=before, after=stood(item),
            **({} if item.amount else _left_behind(item)))
    item.save() if item.amount else item.delete()


@transaction.atomic
def shelf_remove(*, item, who, why):
    """Take a bottle from the shelf, with a reason: empty, broken, discarded."""
    why = reasoned(why)
    _record(item, who, "bottle removed", why=why, **_left_behind(item))
    item.delete()


def stood(item):
    """What stands on a bottle and what is in it, as the audit trail tells it."""
    return {name: _plain(getattr(item, name)) for name in STANDS}


def _plain(value):
    return value.isoformat() if hasattr(value, "isoformat") else value


def _left_behind(item):
    """What is needed, beside what stands on it, to bring a bottle back that goes from the shelf."""
    return {"percent_w_w_hundredths": item.percent_w_w_hundredths, "density_mg_mL": item.density_mg_mL,
            "set_aside": item.set_aside, "trials": list(item.trials.values_list("pk", flat=True))}


def known_substance(text, centre):
    """The key or formula that the knowledge base has for a salt, a reagent or a solid of a recipe."""
    kb, text = knowledge(centre), " ".join(text.split())
    names = {reagent.name.casefold(): key for key, reagent in kb.reagents.items()}
    names |= {name.casefold(): s.formula for s in kb.salts.values() for name in (*s.names, s.name)}
    if text in kb.reagents or text in kb.salts or _goes_into_a_recipe(kb, text):
        return text
    if text.casefold() in names:
        return names[text.casefold()]
    raise UnknownSubstance(
        _("The knowledge base has no '%(text)s'. Choose from the list, or write the formula with its water.")
        % {"text": text})


def _goes_into_a_recipe(kb, text):
    """Whether a formula is that of a recipe's solid, with its water or with another."""
    return _readable(text) and dry(text) in {dry(solid) for solid in recipe_solids(kb)}


def recipe_solids(kb):
    """Formulas of the solids that recipes weigh out."""
    made = [reagent.made_from for reagent in kb.reagents.values() if reagent.made_from]
    solids = [m.get("solid") for m in made] + [a.get("solid") for m in made for a in m.get("additives", ())]
    return {solid for solid in solids if solid and _readable(solid)}


def _readable(text):
    try:
        return bool(formula.parse(text))
    except FormulaError:
        return False


def _stored(centre, substance, amount):
    """The amount as it is stored: whole mg of a solid, µL of a liquid."""
    unit = unit_of(knowledge(centre), substance)
    each = {"g": MG_IN_G, "mL": UL_IN_mL, "strips": STRIP_g * MG_IN_G}[unit]
    stored = int(exact(amount) * each)
    if stored <= 0:
        raise StockError(_("An amount of %(amount)s is nothing. Give more than 0.") % {"amount": amount})
    return stored


def _describe(item, strength_mol_L, *, made_on=None, lot="", grade="", note="", percent_w_w=None,
              density_g_mL=None):
    """What stands on a bottle; per cent and density give its strength where none is stated."""
    item.made_on, item.lot, item.grade, item.note = made_on, lot, grade, note
    item.percent_w_w_hundredths = None if percent_w_w is None else int(exact(percent_w_w) * PER_CENT)
    item.density_mg_mL = None if density_g_mL is None else int(exact(density_g_mL) * MG_IN_G)
    item.strength_mmol_L = _mmol_L(_bought_mol_L(item) if strength_mol_L is None else strength_mol_L)


def _bought_mol_L(item):
    """The strength (mol/L) of a bought solution from what its label says; none where it says nothing."""
    if not (item.percent_w_w_hundredths or item.density_mg_mL):
        return None
    reagent = knowledge(item.centre).reagents.get(item.substance)
    if not (item.percent_w_w_hundredths and item.density_mg_mL and reagent and _readable(reagent.formula)):
        raise StockError(_("A strength follows from per cent by mass and density, both, of a dissolved "
                           "substance. Give both, or the strength in mol/L."))
    return bought_mol_L(
        reagent.formula, density_g_mL=exact(item.density_mg_mL) / MG_IN_G,
        percent_w_w=exact(item.percent_w_w_hundredths) / PER_CENT)


def _mmol_L(strength_mol_L):
    if strength_mol_L is None:
        return None
    if strength_mol_L <= 0:
        raise StockError(_("A strength of %(strength)s mol/L cannot be.") % {"strength": strength_mol_L})
    return int(exact(strength_mol_L) * MMOL_IN_MOL)


def _fresh(item, was):
    """The bottle, locked, if its amount is still what the form showed."""
    found = ShelfItem.objects.select_for_update().filter(pk=item.pk).first()
    if found is None:
        raise ChangedMeanwhile(_("This bottle was taken from the shelf meanwhile."))
    if found.amount != was:
        there = shown_amount(knowledge(found.centre), found.substance, found.amount)
        raise ChangedMeanwhile(
            _("Somebody changed this bottle meanwhile: there are %(there)s in it now. Look, then try again.")
            % {"there": there}, theirs=found)
    return found


def _record(item, who, what, **more):
    detail = {"bottle": item.pk, "amount": item.amount, "strength_mmol_L": item.strength_mmol_L,
              "made_on": item.made_on, "lot": item.lot, "grade": item.grade, "note": item.note}
    audit.record(centre=item.centre, who=who, what=what, about=item.substance, detail=detail | more)
