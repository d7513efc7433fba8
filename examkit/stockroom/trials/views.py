"""The pages of a trial: the tests of one bottle, what is accepted for it, the bottle set aside."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow, exam_or_404
from examkit.knowledge import knowledge
from examkit.models import Amendment, ShelfItem, State, Trial
from examkit.planning.views.common import attempt, attempt_on, sent, tell, tried
from examkit.stockroom.trials import services
from examkit.stockroom.trials.forms import AmendForm, expected_outcomes
from examkit.stockroom.trials.selectors import base_record, trial_row
from examkit.stockroom.views import STOCK_ROOM, whole

ANSWERS = {"yes": True, "no": False, "open": None}


@allow(*STOCK_ROOM)
@require_GET
def page(request, pk, trial):
    """What is expected beside what was seen."""
    exam, found = _trial(request, pk, trial)
    return render(request, "examkit/stockroom/trial.html", {
        "exam": exam, "row": trial_row(found), "open": exam.state == State.DRAWN})


@allow(*STOCK_ROOM)
@require_POST
def see(request, pk, trial, test):
    """Save what one test showed; answers with its line where only that was asked for."""
    exam, found = _trial(request, pk, trial)
    _line, refused = tried(
        services.trial_see, trial=found, who=request.user, test=test,
        agrees=ANSWERS.get(request.POST.get("agrees")), seen=sent(request, "seen"),
        why=sent(request, "why"), version=whole(request.POST.get("version")))
    if request.htmx:
        row = trial_row(found)
        line = next((line for line in row.lines if line.test == test), None)
        if line is None:
            raise Http404
        return render(request, "examkit/stockroom/_trial_line.html", {
            "exam": exam, "row": row, "line": line, "problem": " ".join(refused), "answer": True,
            "typed": sent(request, "seen") if refused else "", "open": exam.state == State.DRAWN})
    tell(request, refused)
    return redirect("stockroom:trial", pk, trial)


@allow(*STOCK_ROOM)
@require_http_methods(["GET", "POST"])
def amend(request, pk, trial, test, facet):
    """Say what is also accepted for the samples of this bottle."""
    exam, found = _trial(request, pk, trial)
    line, title, outcomes = _place(exam, found, test, facet)
    form = AmendForm(request.POST or None, facet_title=title, seen=outcomes)
    if request.method == "POST" and form.is_valid():
        if attempt_on(form, services.amend, trial=found, who=request.user, test=test, facet=facet,
                      seen=form.outcomes(), why=form.cleaned_data["why"]):
            messages.success(request, _("Accepted for the samples of this bottle; marking will read it so."))
            return redirect("stockroom:trial", pk, trial)
    return render(request, "examkit/stockroom/amend.html", {
        "exam": exam, "trial": found, "form": form, "expected": line["text"], "facet": title,
        "test": line.get("title") or test, "colours": knowledge(exam.centre).colours.values()})


@allow(*STOCK_ROOM)
@require_POST
def undo(request, pk, amendment):
    """Take back what is accepted for a bottle, with a reason."""
    exam = exam_or_404(request, pk)
    row = get_object_or_404(Amendment, pk=amendment, trial__exam=exam)
    attempt(request, services.amend_undo, amendment=row, who=request.user, why=sent(request, "why"))
    return redirect("stockroom:trial", pk, row.trial_id)


@allow(*STOCK_ROOM)
@require_POST
def set_aside(request, pk, bottle):
    """Set a bottle aside or use it again, with a reason."""
    exam_or_404(request, pk)
    item = get_object_or_404(ShelfItem, pk=bottle, centre=request.centre)
    act = services.use_again if request.POST.get("again") else services.set_aside
    attempt(request, act, item=item, who=request.user, why=sent(request, "why"))
    trial = item.trials.filter(exam=pk).first() if request.POST.get("from") == "trial" else None
    return redirect("stockroom:trial", pk, trial.pk) if trial else redirect("stockroom:shelf", pk)


def _trial(request, pk, trial):
    exam, trials = exam_or_404(request, pk), Trial.objects.select_related("exam__centre", "bottle")
    return exam, get_object_or_404(trials, pk=trial, exam=exam)


def _place(exam, trial, test, facet):
    """The line, the facet's title and its expected outcomes; 404 where the record has no such place."""
    record, _edition = base_record(exam, trial.salt)
    line = next((line for line in record["lines"] if line["test"] == test and line["done"]), None)
    known = knowledge(exam.centre).tests[test].facets if line else {}
    if facet not in known:
        raise Http404
    return line, known[facet].title, expected_outcomes(line, facet, known[facet].steps)
