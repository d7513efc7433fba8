"""Rules of the draw before it, and single seats drawn anew after it."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow, exam_or_404
from examkit.models import Role
from examkit.planning import services
from examkit.planning.changes import BENCH, LATE, MOVE, OPENED, SPOILT, SWAP
from examkit.planning.forms import (
    BrokenForm,
    LateForm,
    MoveForm,
    OpenedForm,
    ReasonForm,
    RulesForm,
    SpoiltForm,
    SwapForm,
)
from examkit.planning.services.changes import OPEN_IN
from examkit.planning.views.common import attempt, reason_of

KINDS = {  # kind: title, what it does, form, service
    "late": (_lazy("A late candidate"), _lazy("gets a free bench and a salt; nobody else is touched."),
             LateForm, services.late_candidate),
    "bench": (_lazy("A broken bench"),
              _lazy("who sits there moves, with the same sample where that keeps the rules."),
              BrokenForm, services.bench_broken),
    "move": (_lazy("Another sitting"),
             _lazy("one candidate goes to a free bench there, with the same sample where that keeps the "
                   "rules."),
             MoveForm, services.candidate_moved),
    "open": (_lazy("A bench comes into use"),
             _lazy("a bench of the room that the sealed plan does not have; nobody moves. Then report the "
                   "broken one, or add the late candidate."),
             OpenedForm, services.bench_opened),
    "swap": (_lazy("Swapped seats"),
             _lazy("two candidates sat at each other's bench: each keeps the sample that stood there."),
             SwapForm, services.seats_swapped),
    "spoilt": (_lazy("A spoilt batch"),
               _lazy("whoever has this salt gets another, under a new code. Collect the old samples."),
               SpoiltForm, services.batch_spoilt),
}


TITLES = {LATE: _lazy("late candidate"), BENCH: _lazy("broken bench"), MOVE: _lazy("another sitting"),
          OPENED: _lazy("bench opened"), SWAP: _lazy("seats swapped"), SPOILT: _lazy("spoilt batch")}


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def rules(request, pk):
    """The rules of the draw; those of a sealed or drawn exam can be looked at."""
    exam = exam_or_404(request, pk)
    form = RulesForm(request.POST or None, exam=exam)
    if request.method == "POST" and form.is_valid() and attempt(
            request, services.rules_set, exam=exam, who=request.user, rules=form.rules()):
        messages.success(request, _("The rules are set."))
        return redirect("planning:draw", pk)
    return render(request, "examkit/planning/rules.html", {"exam": exam, "form": form})


@allow(Role.TEACHER)
@require_GET
def changes(request, pk):
    """What was drawn anew since the draw, and the forms for more."""
    exam = exam_or_404(request, pk)
    return _page(request, exam)


def _page(request, exam, kind="", bound=None):
    parts = [
        {"kind": key, "title": title, "told": told, "open": key == kind,
         "form": bound if key == kind else form(exam=exam, prefix=key)}
        for key, (title, told, form, _service) in KINDS.items()
    ]
    return render(request, "examkit/planning/changes.html", {
        "exam": exam, "parts": parts, "reason": ReasonForm(),
        "changes": [one | {"title": TITLES[one["about"]["kind"]]} for one in exam.draw.get("changes", ())],
        "possible": exam.state in OPEN_IN}, status=422 if bound else 200)


@allow(Role.TEACHER)
@require_POST
def change(request, pk, kind):
    """Draw one thing anew."""
    exam = exam_or_404(request, pk)
    if kind not in KINDS:
        raise Http404
    _title, _told, form_of, service = KINDS[kind]
    form = form_of(request.POST, exam=exam, prefix=kind)
    if form.is_valid() and attempt(request, service, exam=exam, who=request.user, **form.cleaned_data):
        messages.success(request, _("Done: see the list of changes. Print the papers and labels of those "
                                    "concerned again, and tell the stock room which samples it prepares."))
        return redirect("planning:changes", pk)
    return _page(request, exam, kind, form)


@allow(Role.TEACHER)
@require_POST
def undo(request, pk):
    """Take the last change back."""
    exam = exam_or_404(request, pk)
    if attempt(request, services.change_undo, exam=exam, who=request.user, reason=reason_of(request)):
        messages.success(request, _("The last change is taken back."))
    return redirect("planning:changes", pk)
