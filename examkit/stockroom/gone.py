"""Bottles that went from the shelf by mistake come back; what was noted of one by mistake is set back."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.knowledge import knowledge
from examkit.models import AuditEntry, ShelfItem, Trial
from examkit.planning.services.guard import reasoned
from examkit.stockroom.amounts import Amount
from examkit.stockroom.services import stood
from examkit.stockroom.sums import shown_amount
from examkit.stockroom.wording import full_name
from examkit.undo import standing, to_take_back

WENT = Q(what="bottle removed") | Q(what="bottle used", detail__amount=0)
CHANGED = Q(what__in=("bottle changed", "bottle used"), detail__has_key="before")
BACK, SET_BACK = "bottle brought back", "bottle set back"
AS_IT_STOOD = ("strength_mmol_L", "lot", "grade", "note", "percent_w_w_hundredths", "density_mg_mL",
               "set_aside")
MOST_SHOWN = 30


@dataclass(frozen=True)
class GoneRow:
    """A bottle that is not on the shelf any more; `amount` is what comes back with it."""

    entry: AuditEntry
    name: str
    amount: Amount
    lot: str
    why: str
    used_up: bool


def gone_bottles(centre):
    """The bottles that went last and were not brought back, newest first."""
    kb = knowledge(centre)
    return [_row(kb, entry) for entry in standing(centre, WENT, back=BACK)[:MOST_SHOWN]]


def _row(kb, entry):
    detail = entry.detail
    return GoneRow(
        entry=entry, name=full_name(kb, entry.about), amount=shown_amount(kb, entry.about, _amount(entry)),
        lot=detail.get("lot") or "", why=detail.get("why") or "", used_up=entry.what == "bottle used")


def _amount(entry):
    """What was in it before the act that is taken back (mg or µL)."""
    return entry.detail["taken"] if entry.what == "bottle used" else entry.detail["amount"]


@transaction.atomic
def bring_back(*, centre, who, number, why):
    """Put a bottle back that went by mistake, with a reason; `number` is the audit entry that took it away.

    It comes back as it stood, set aside if it was, with the trials that were made of it.
    """
    why = reasoned(why)
    entry = to_take_back(centre, WENT, back=BACK, number=number)
    made_on = _day(entry.detail.get("made_on"))
    item = ShelfItem.objects.create(
        centre=centre, substance=entry.about, amount=_amount(entry), made_on=made_on,
        **{name: entry.detail[name] for name in AS_IT_STOOD if name in entry.detail})
    trials = entry.detail.get("trials", [])
    Trial.objects.filter(pk__in=trials, exam__centre=centre, bottle=None).update(bottle=item)
    detail = {"bottle": item.pk, "amount": item.amount, "lot": item.lot, "gone": number, "why": why}
    audit.record(centre=centre, who=who, what=BACK, about=item.substance, detail=detail)
    return item


def noted_of(item):
    """The acts that changed a bottle that stands on the shelf."""
    return CHANGED & Q(detail__bottle=item.pk)


@dataclass(frozen=True)
class NotedRow:
    """What was noted of a bottle: what was in it before and after."""

    entry: AuditEntry
    before: Amount
    after: Amount
    used: bool


def notes_of(item):
    """What was noted of a bottle last and was not taken back, newest first."""
    kb = knowledge(item.centre)
    return [NotedRow(entry, *(shown_amount(kb, item.substance, entry.detail[side]["amount"])
                              for side in ("before", "after")), entry.what == "bottle used")
            for entry in standing(item.centre, noted_of(item), back=SET_BACK)[:MOST_SHOWN]]


@transaction.atomic
def set_back(*, item, who, number, why):
    """Set a bottle back to before something was noted of it, with a reason; refused where it was changed
    since."""
    why, item = reasoned(why), ShelfItem.objects.select_for_update().get(pk=item.pk)
    kept = to_take_back(item.centre, noted_of(item), back=SET_BACK, number=number).detail
    if stood(item) != kept["after"]:
        raise Refused(_("This bottle was changed again since. Undo that first, or correct the bottle."))
    for name, value in kept["before"].items():
        setattr(item, name, _day(value) if name == "made_on" else value)
    item.save()
    audit.record(centre=item.centre, who=who, what=SET_BACK, about=item.substance,
                 detail={"bottle": item.pk, "amount": item.amount, "gone": number, "why": why})
    return item


def _day(text):
    return date.fromisoformat(str(text)[:10]) if text else None
