"""The page of one salt: its bottles and their trials, its tubes and their masses."""

from decimal import Decimal, InvalidOperation

from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit.access import allow, exam_or_404
from examkit.models import ShelfItem, State, Tube
from examkit.planning.views.common import attempt, reason_of, sent, tell, tried
from examkit.stockroom.errors import StockError
from examkit.stockroom.trials.services import trial_open
from examkit.stockroom.tubes import services
from examkit.stockroom.tubes.selectors import fillings, salt_page
from examkit.stockroom.views import STOCK_ROOM, whole


@allow(*STOCK_ROOM)
@require_GET
def page(request, pk, salt):
    """Bottles and tubes of one salt."""
    exam, drawn = _salt(request, pk, salt)
    return render(request, "examkit/stockroom/salt.html", _context(exam, drawn))


@allow(*STOCK_ROOM)
@require_POST
def try_bottle(request, pk, salt):
    """Begin to try a bottle, and go to its page."""
    exam, drawn = _salt(request, pk, salt)
    key = request.POST.get("bottle", "")
    bottle = get_object_or_404(ShelfItem, pk=whole(key), centre=request.centre) if key else None
    trial, refused = tried(trial_open, exam=exam, who=request.user, salt=drawn.salt, bottle=bottle)
    tell(request, refused)
    return redirect("stockroom:trial", pk, trial.pk) if trial else redirect("stockroom:salt", pk, salt)


@allow(*STOCK_ROOM)
@require_POST
def fill(request, pk, salt):
    """Note a tube; answers with its line where only that was asked for."""
    exam, drawn = _salt(request, pk, salt)
    label = sent(request, "label")
    _tube, refused = tried(_fill, request=request, exam=exam, drawn=drawn, label=label)
    if not request.htmx:
        tell(request, refused)
        return redirect("stockroom:salt", pk, salt)
    context = _context(exam, drawn)
    row = next((row for row in context["page"].tubes if row.label == label), None)
    if row is None:
        raise Http404
    return render(request, "examkit/stockroom/_tube.html", context | {
        "row": row, "problem": " ".join(refused), "typed": sent(request, "mass") if refused else "",
        "answer": True})


def _fill(*, request, exam, drawn, label):
    return services.tube_fill(
        trial=_trial(exam, drawn, request), who=request.user, label=label,
        mass_g=_grams(sent(request, "mass")), version=whole(request.POST.get("version")))


@allow(*STOCK_ROOM)
@require_POST
def fill_rest(request, pk, salt):
    """Note that the tubes that are still empty were filled from one bottle."""
    exam, drawn = _salt(request, pk, salt)
    attempt(request, _fill_rest, request=request, exam=exam, drawn=drawn)
    return redirect("stockroom:salt", pk, salt)


def _fill_rest(*, request, exam, drawn):
    return services.tubes_fill_rest(trial=_trial(exam, drawn, request), who=request.user)


@allow(*STOCK_ROOM)
@require_POST
def empty(request, pk, salt):
    """Take back that a tube was filled, with a reason."""
    exam, drawn = _salt(request, pk, salt)
    tube = get_object_or_404(Tube, exam=exam, salt=drawn.salt, label=sent(request, "label"))
    attempt(request, services.tube_empty, tube=tube, who=request.user, why=sent(request, "why"))
    return redirect("stockroom:salt", pk, salt)


@allow(*STOCK_ROOM)
@require_POST
def fill_undo(request, pk, salt, number):
    """Take back whole that the rest of the tubes was filled."""
    exam, drawn = _salt(request, pk, salt)
    attempt(request, services.tubes_fill_undo, exam=exam, salt=drawn.salt, who=request.user, number=number,
            why=reason_of(request))
    return redirect("stockroom:salt", pk, salt)


def _salt(request, pk, salt):
    """The exam, and a drawn salt by the key of its frozen record: no formula stands in an address."""
    exam = exam_or_404(request, pk)
    found = get_object_or_404(exam.expected, pk=salt)
    if not exam.samples.filter(salt=found.salt).exists():
        raise Http404
    return exam, found


def _context(exam, drawn):
    return {"exam": exam, "drawn": drawn, "page": salt_page(exam, drawn.salt),
            "open": exam.state == State.DRAWN, "fillings": fillings(exam, drawn.salt)}


def _trial(exam, drawn, request):
    found = exam.trials.filter(salt=drawn.salt, pk=whole(request.POST.get("trial"))).first()
    if found is None:
        raise StockError(_("Say which bottle it was filled from; begin its trial first."))
    return found


def _grams(text):
    """A mass (g) as it was typed; none where the field is empty."""
    text = text.strip().replace(",", ".")
    try:
        mass_g = Decimal(text) if text else None
    except InvalidOperation:
        mass_g = Decimal("NaN")
    if mass_g is not None and not mass_g.is_finite():
        raise StockError(_("'%(text)s' is no mass in grams. Write it like 1.52.") % {"text": text[:20]})
    return mass_g
