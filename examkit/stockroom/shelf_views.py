"""The shelf's pages: bottles that are added, changed, used up."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow, exam_or_404
from examkit.models import ShelfItem
from examkit.planning.views.common import attempt, attempt_on, reason_of, sent
from examkit.stockroom.forms import BottleForm, UseForm
from examkit.stockroom.gone import bring_back, gone_bottles, notes_of, set_back
from examkit.stockroom.services import shelf_add, shelf_change, shelf_remove, shelf_use
from examkit.stockroom.shelf_list import bottle_initial, shelf_rows, substance_names
from examkit.stockroom.views import STOCK_ROOM


@allow(*STOCK_ROOM)
@require_GET
def shelf(request, pk):
    """All bottles of the centre."""
    exam = exam_or_404(request, pk)
    return render(request, "examkit/stockroom/shelf.html", {
        "exam": exam, "rows": shelf_rows(request.centre), "gone": gone_bottles(request.centre)})


@allow(*STOCK_ROOM)
@require_http_methods(["GET", "POST"])
def add(request, pk):
    """A new bottle; the address may name what is in it."""
    exam = exam_or_404(request, pk)
    named = {"substance": request.GET.get("substance", "")[:200]}
    form = BottleForm(request.POST or None, initial=named, centre=request.centre)
    if request.method == "POST" and form.is_valid():
        values = {k: v for k, v in form.cleaned_data.items() if k != "was"}
        if attempt_on(form, shelf_add, centre=request.centre, who=request.user, **values):
            messages.success(request, _("The bottle is on the shelf."))
            return redirect("stockroom:shelf", pk)
    return _form_page(request, exam, form, _("Add a bottle"))


@allow(*STOCK_ROOM)
@require_http_methods(["GET", "POST"])
def change(request, pk, bottle):
    """Correct a bottle."""
    exam, item = exam_or_404(request, pk), _bottle(request, bottle)
    form = BottleForm(
        request.POST or None, initial=bottle_initial(item), fixed_substance=True, centre=request.centre)
    if request.method == "POST" and form.is_valid():
        values = {k: v for k, v in form.cleaned_data.items() if k != "substance"}
        if attempt_on(form, shelf_change, item=item, who=request.user, **values):
            messages.success(request, _("The bottle is changed."))
            return redirect("stockroom:shelf", pk)
    return _form_page(request, exam, form, _("Change a bottle"), item)


@allow(*STOCK_ROOM)
@require_POST
def use(request, pk, bottle):
    """Take something out of a bottle."""
    exam_or_404(request, pk)
    item, form = _bottle(request, bottle), UseForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("How much was taken? Give a number more than 0."))
    elif attempt(request, shelf_use, item=item, who=request.user, **form.cleaned_data):
        messages.success(request, _("Noted."))
    return redirect("stockroom:shelf", pk)


@allow(*STOCK_ROOM)
@require_POST
def remove(request, pk, bottle):
    """Take a bottle from the shelf."""
    exam_or_404(request, pk)
    item, why = _bottle(request, bottle), sent(request, "why")
    if attempt(request, shelf_remove, item=item, who=request.user, why=why):
        messages.success(request, _("The bottle is gone from the shelf; below it can be brought back."))
    return redirect("stockroom:shelf", pk)


@allow(*STOCK_ROOM)
@require_POST
def back(request, pk, number):
    """Bring a bottle back that went from the shelf by mistake."""
    exam_or_404(request, pk)
    given = {"centre": request.centre, "who": request.user, "number": number, "why": sent(request, "why")}
    if attempt(request, bring_back, **given):
        messages.success(request, _("The bottle is on the shelf again."))
    return redirect("stockroom:shelf", pk)


@allow(*STOCK_ROOM)
@require_POST
def undo(request, pk, bottle, number):
    """Set a bottle back to before something was noted of it by mistake."""
    exam_or_404(request, pk)
    if attempt(request, set_back, item=_bottle(request, bottle), who=request.user, number=number,
               why=reason_of(request)):
        messages.success(request, _("The bottle is as it was before."))
    return redirect("stockroom:bottle-change", pk, bottle)


def _bottle(request, pk):
    return get_object_or_404(ShelfItem, pk=pk, centre=request.centre)


def _form_page(request, exam, form, heading, item=None):
    context = {"exam": exam, "form": form, "heading": heading, "item": item,
               "substances": substance_names(request.centre), "notes": notes_of(item) if item else []}
    return render(request, "examkit/stockroom/bottle.html", context)
