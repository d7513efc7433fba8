"""The pool: which salts may be drawn."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from examkit.access import allow, exam_or_404
from examkit.models import Role
from examkit.planning import services
from examkit.planning.selectors.pool import offered, pool_warnings
from examkit.planning.views.common import attempt


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def pool(request, pk):
    """Choose the salts; a refused choice stays ticked."""
    exam = exam_or_404(request, pk)
    chosen = request.POST.getlist("salt")
    if request.method == "POST" and attempt(
        request, services.pool_set, exam=exam, who=request.user, formulas=chosen
    ):
        messages.success(
            request,
            ngettext("The pool has %(n)d salt.", "The pool has %(n)d salts.", len(chosen))
            % {"n": len(chosen)},
        )
        return redirect("planning:pool", pk)
    kept = chosen if request.method == "POST" else list(exam.pool.values_list("formula", flat=True))
    return render(request, "examkit/planning/pool.html", {
        "exam": exam, "offers": offered(exam), "chosen": set(kept), "warnings": pool_warnings(exam),
        "open": exam.state == "draft" and not exam.commitment})
