"""The pool: which salts may be drawn, and how they compare."""

from dataclasses import replace

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_GET, require_http_methods

from examkit.access import allow, exam_or_404
from examkit.knowledge import knowledge
from examkit.models import Role
from examkit.planning import services
from examkit.planning.selectors.ceiling import ceiling_of
from examkit.planning.selectors.comparison import comparison
from examkit.planning.selectors.draw import rules_of
from examkit.planning.selectors.picture import picture
from examkit.planning.selectors.pool import offered, pool_warnings
from examkit.planning.selectors.suggestion import USUAL_NUMBER, suggestion
from examkit.planning.views.common import attempt

VISIONS = {
    "usual": gettext_lazy("usual eyes"),
    "protan": gettext_lazy("protan (no red cones)"),
    "deutan": gettext_lazy("deutan (no green cones)"),
    "tritan": gettext_lazy("tritan (no blue cones)"),
}


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
    kept = set(chosen if request.method == "POST" else exam.pool.values_list("formula", flat=True))
    return render(request, "examkit/planning/pool.html", {
        "exam": exam, "offers": sorted(offered(exam), key=lambda offer: offer.formula not in kept),
        "chosen": kept, "warnings": pool_warnings(exam),
        "open": exam.state == "draft" and not exam.commitment})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def suggested(request, pk):
    """A pool suggested; posting sets the ceiling of a draft and asks anew."""
    exam = exam_or_404(request, pk)
    asked = request.POST if request.method == "POST" else request.GET
    number, in_stock, keep = _number(asked.get("number")), bool(asked.get("stock")), bool(asked.get("keep"))
    if request.method == "POST":
        ceiling = {row["key"]: request.POST.get(f"ceiling {row['key']}", "") for row in _ceiling(exam)}
        if ceiling != ceiling_of(exam) and not attempt(
                request, services.rules_set, exam=exam, who=request.user,
                rules=replace(rules_of(exam), ceiling=ceiling)):
            return redirect("planning:suggested", pk)
        ticked = {name: "on" for name, on in (("stock", in_stock), ("keep", keep)) if on}
        return redirect(f"{request.path}?{urlencode({'number': number} | ticked)}")
    found = suggestion(exam, number, in_stock, keep) if "number" in asked else None
    pool = exam.pool.count()
    return render(request, "examkit/planning/suggestion.html", {
        "exam": exam, "number": number, "in_stock": in_stock, "ceiling": _ceiling(exam), "suggested": found,
        "pool": pool, "keep": keep if found else 0 < pool < number,
        "changed": rules_of(exam).ceiling is not None, "picture": found and picture(exam, found.formulas)})


def _number(text):
    """How many salts were asked for, 2 to 40; the usual number where it is none."""
    known = (text or "").isascii() and (text or "").isdigit() and len(text) < 4
    return min(40, max(2, int(text))) if known else USUAL_NUMBER


def _ceiling(exam):
    """The hazard classes with their codes and the worst one that is allowed."""
    kb, worst = knowledge(exam.centre), ceiling_of(exam)
    return [
        {"key": key, "name": row["name"], "worst": worst[key],
         "codes": [("", ""), *((code, kb.statements.get(code, "")) for code in reversed(row["codes"]))]}
        for key, row in kb.hazard_classes.items()
    ]


@allow(Role.TEACHER)
@require_GET
def compare(request, pk):
    """Where each two salts of the pool part, for the eyes that `?vision=` names; `?salt=` sets one apart."""
    exam = exam_or_404(request, pk)
    vision, salt = request.GET.get("vision") or "usual", request.GET.get("salt", "")
    if vision not in VISIONS:
        raise Http404(_("There is no such vision."))
    compared = comparison(exam, vision)
    row = compared and next((row for row in compared.rows if row.salt == salt), None)
    return render(request, "examkit/planning/compare.html", {
        "exam": exam, "compared": compared, "vision": vision, "vision_name": VISIONS[vision],
        "picture": picture(exam, list(exam.pool.values_list("formula", flat=True))),
        "visions": VISIONS.items(), "row": row, "against": compared.against(salt) if row else ()})
