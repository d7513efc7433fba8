"""The queue, and the way from record to record."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit.access import exam_or_404
from examkit.models import State
from grading.marking import selectors, services
from grading.marking.forms import CodeForm
from grading.marking.views.common import examiner_only, tried
from grading.models import Record


@examiner_only
@require_GET
def index(request, pk):
    """The queue, and the field for a code."""
    exam = exam_or_404(request, pk)
    form = CodeForm(request.GET if "code" in request.GET else None)
    if form.is_bound and form.is_valid():
        if exam.samples.filter(code=form.cleaned_data["code"]).exists():
            return redirect("marking:record", exam.pk, form.cleaned_data["code"])
        form.add_error("code", _("No sample of this exam has this code. Compare the label again."))
    rows, wanted = selectors.queue(exam, request.user), request.GET.get("state", "")
    return render(
        request,
        "grading/marking/index.html",
        {
            "exam": exam,
            "form": form,
            "counts": selectors.counts(rows),
            "wanted": wanted,
            "all": len(rows),
            "rows": [row for row in rows if wanted in ("", row.state)],
            "next": selectors.next_code(exam),
            "open": exam.state == State.SAT,
            "finished": bool(rows) and all(map(selectors.is_done, rows)),
        },
    )


@examiner_only
@require_GET
def next_record(request, pk):
    """On to the next record that is not closed; it is entered first where that has not been done."""
    exam = exam_or_404(request, pk)
    code = selectors.next_code(exam, after=request.GET.get("after", ""))
    if code is None:
        messages.success(request, _("All records are finished."))
        return redirect("marking:index", exam.pk)
    entered = Record.objects.filter(sample__exam=exam, sample__code=code).exists()
    return redirect("marking:marks" if entered else "marking:record", exam.pk, code)


@examiner_only
@require_POST
def hand_over(request, pk):
    """All records are marked: on to the teacher."""
    exam = exam_or_404(request, pk)
    done = tried(request, services.exam_hand_over, exam=exam, who=request.user, otherwise=True)
    if done:
        messages.success(request, _("Handed over: the teacher can look through the results now."))
    return redirect("marking:index", exam.pk)
