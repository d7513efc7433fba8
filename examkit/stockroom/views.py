"""The stock room's pages: the list of an exam, its ticks, the sign-off."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit.access import allow, exam_or_404
from examkit.errors import ChangedMeanwhile, ExamkitError
from examkit.models import Role, State
from examkit.planning.views.common import attempt, sent
from examkit.stockroom.conditions import before_sign_off
from examkit.stockroom.selectors import stock_list, tick_of
from examkit.stockroom.services import tick as set_tick
from examkit.stockroom.signing import sign_off as sign
from examkit.stockroom.trays import room_trays
from examkit.stockroom.tubes.selectors import second_samples, work_of

STOCK_ROOM = (Role.ASSISTANT, Role.TEACHER)


@allow(*STOCK_ROOM)
@require_GET
def overview(request, pk):
    """What to weigh, make up, put out and collect."""
    exam = exam_or_404(request, pk)
    stock, missing = stock_list(exam), before_sign_off(exam)
    context = {"exam": exam, "stock": stock, "open": exam.state == State.DRAWN, "missing": missing}
    if stock:
        work = work_of(exam)
        context["salts"] = [(row, work.get(row.need.salt)) for row in stock.salts]
        context["second"] = second_samples(exam).select_related("sample__sitting", "sample__bench")
    return render(request, "examkit/stockroom/overview.html", context)


@allow(*STOCK_ROOM)
@require_GET
def benches(request, pk):
    """What stands on every bench and in the fume cupboard."""
    exam = exam_or_404(request, pk)
    stock = stock_list(exam)
    context = {"exam": exam, "stock": stock, "rooms": room_trays(exam, stock) if stock else []}
    return render(request, "examkit/stockroom/benches.html", context)


@allow(*STOCK_ROOM)
@require_POST
def tick(request, pk):
    """Save one line of the list; answers with the line where only that was asked for."""
    exam = exam_or_404(request, pk)
    item, problem = sent(request, "item"), ""
    try:
        row = set_tick(
            exam=exam, who=request.user, item=item, done=request.POST.get("done") == "yes",
            note=sent(request, "note"), why=sent(request, "why"),
            version=whole(request.POST.get("version")))
    except ChangedMeanwhile as stale:
        row, problem = stale.theirs, str(stale)
    except ExamkitError as refused:
        row, problem = tick_of(exam, item), str(refused)
    if request.htmx:
        context = {"exam": exam, "tick": row, "problem": problem, "open": exam.state == State.DRAWN,
                   "stock": stock_list(exam), "answer": True, "trial": item.startswith("bottle:"),
                   "label": sent(request, "label")}
        return render(request, "examkit/stockroom/_tick.html", context)
    if problem:
        messages.error(request, problem)
    return redirect("stockroom:overview", pk)


def whole(text):
    """A number that a form sent; -1 where it is none."""
    return int(text) if text and text.isdecimal() and len(text) < 10 else -1


@allow(*STOCK_ROOM)
@require_POST
def sign_off(request, pk):
    """Say that the stock room is ready."""
    exam = exam_or_404(request, pk)
    if attempt(request, sign, exam=exam, who=request.user):
        messages.success(request, _("The stock room is signed off: the exam is prepared."))
    return redirect("stockroom:overview", pk)
