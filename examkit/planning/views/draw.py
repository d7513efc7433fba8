"""The draw: rules and feasibility, the seal, the draw, the plan of each sitting."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit.access import allow, exam_or_404
from examkit.models import Role, State
from examkit.planning import services
from examkit.planning.allocation import RULES
from examkit.planning.draw_check import check
from examkit.planning.forms import DrawForm, ReasonForm
from examkit.planning.selectors.draw import not_avoided, outcome, seating
from examkit.planning.selectors.life import before_seal
from examkit.planning.selectors.pool import pool_warnings
from examkit.planning.views.common import attempt, sentence


@allow(Role.TEACHER)
@require_GET
def draw(request, pk):
    """Before: rules and what stands in the way. After: the plan of benches; salts only where asked for."""
    exam = exam_or_404(request, pk)
    context = {"exam": exam, "rules": [sentence(rule) for rule in RULES], "reason": ReasonForm()}
    if exam.state == State.DRAFT:
        context |= {"missing": before_seal(exam), "warnings": pool_warnings(exam), "form": DrawForm()}
        return render(request, "examkit/planning/draw.html", context)
    context |= {
        "tables": seating(exam),
        "outcome": outcome(exam),
        "not_avoided": not_avoided(exam),
        "salts": request.GET.get("salts") == "shown",
        "checked": "check" in request.GET,
        "problems": check(exam) if "check" in request.GET else [],
        "revealed": exam.state == State.RELEASED,
    }
    return render(request, "examkit/planning/drawn.html", context)


@allow(Role.TEACHER)
@require_POST
def seal(request, pk):
    """Freeze the plan and fix the commitment."""
    exam = exam_or_404(request, pk)
    if attempt(request, services.draw_seal, exam=exam, who=request.user):
        messages.success(request, _("Sealed. Print this page or write the commitment down before you draw."))
    return redirect("planning:draw", pk)


@allow(Role.TEACHER)
@require_POST
def unseal(request, pk):
    """Break the seal, with a reason."""
    exam = exam_or_404(request, pk)
    if attempt(
        request, services.draw_unseal, exam=exam, who=request.user, reason=request.POST.get("reason", "")
    ):
        messages.success(request, _("The seal is broken; roster, rooms and pool can be changed again."))
    return redirect("planning:draw", pk)


@allow(Role.TEACHER)
@require_POST
def make(request, pk):
    """Make the sealed draw."""
    exam = exam_or_404(request, pk)
    form = DrawForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("At most 200 characters may be thrown or said."))
    elif attempt(
        request, services.draw_make, exam=exam, who=request.user, public=form.cleaned_data["public"]
    ):
        messages.success(request, _("The draw is made, and the expected records are frozen with it."))
    return redirect("planning:draw", pk)
