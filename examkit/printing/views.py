"""The print page of an exam, and its sheets as PDF, each for those who may have it."""

from django.contrib import messages
from django.http import FileResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from examkit.access import allow, exam_or_404
from examkit.errors import ExamkitError
from examkit.models import Role
from examkit.planning.selectors.blind import names_hidden
from examkit.printing import runs
from examkit.printing.sheets import SHEETS


@allow(*Role)
@require_GET
def overview(request, pk):
    """What can be printed, and for whom; everybody sees what they may have."""
    exam = exam_or_404(request, pk)
    sheets = [sheet for sheet in SHEETS.values()
              if set(sheet.roles) & request.roles and not _blind(request, exam, sheet)]
    context = {"exam": exam, "sheets": sheets, "drawn": exam.samples.exists()}
    return render(request, "examkit/printing/overview.html", context)


def _blind(request, exam, sheet):
    """Whether a sheet would tell somebody who marks this exam whose a code is."""
    return sheet.names and names_hidden(exam, user=request.user, roles=request.roles)


def sheet_view(key):
    """The view of one kind of sheet; its rule is the sheet's own."""
    sheet = SHEETS[key]

    @allow(*sheet.roles)
    @require_GET
    @never_cache
    def view(request, pk):
        exam = exam_or_404(request, pk)
        if _blind(request, exam, sheet):
            messages.error(request, _("You mark this exam, so this sheet, which tells whose a sample code "
                                      "is, is not for you until the results are released."))
            return redirect("printing:overview", exam.pk)
        return _answer(request, exam, sheet)

    view.__name__ = f"sheet_{key.replace('-', '_')}"
    return view


def _answer(request, exam, sheet):
    """The file, the page that waits for it, or the reason why there is none."""
    try:
        geometry = request.GET.get("on", "")
        path = runs.ready(exam, sheet, geometry)
        if path is None and "go" not in request.GET and runs.takes_long(exam, sheet, geometry):
            return _waiting(request, exam, sheet, go=True)  # stands there until the next answer has come
        if path is None:
            runs.order(exam, sheet, geometry)
            path = runs.ready(exam, sheet, geometry)
    except ExamkitError as problem:
        messages.error(request, str(problem))
        return redirect("printing:overview", exam.pk)
    if path is None:
        return _waiting(request, exam, sheet)
    runs.opened(exam=exam, sheet=sheet, who=request.user)
    return FileResponse(path.open("rb"), filename=f"{sheet.key}.pdf", content_type="application/pdf")


def _waiting(request, exam, sheet, go=False):
    """The page that says that a sheet is being set, and asks for it again; `go`: at once, to have it set."""
    asked = request.GET.copy()
    if go:
        asked["go"] = "1"
    context = {"exam": exam, "sheet": sheet, "seconds": 0 if go else 3, "asked": asked.urlencode()}
    return render(request, "examkit/printing/waiting.html", context, status=202)
