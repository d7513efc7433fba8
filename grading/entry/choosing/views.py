"""An examiner enters a record by choosing outcomes: a number for each list, words where they need them."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from examkit.knowledge import knowledge
from grading.entry import rows
from grading.marking import services
from grading.marking.parts import RESULT
from grading.marking.selectors import record_of, sample_or_404
from grading.marking.views.common import examiner_only, is_open, page_methods, told_how_many, tried


@examiner_only
@page_methods
def record(request, pk, code):
    """The record of a sample, a line for each test with its lists; without JavaScript saved as a whole."""
    sample = sample_or_404(request, pk, code)
    lines = _lines(sample)
    if request.method != "POST":
        return _page(request, sample, lines)
    if not tried(request, services.record_enter, sample=sample, who=request.user):
        return _page(request, sample, lines, status=409)
    for line in lines:
        _save(request, sample, line, only_if_differs=True)
    if not told_how_many(request, sum(bool(line.problem) for line in lines)):
        return _page(request, sample, lines, status=409)
    return redirect("marking:marks" if "mark" in request.POST else "choosing:record", pk, code)


@examiner_only
@require_POST
def line(request, pk, code, test):
    """Save one line: htmx gets its status, a form sent after signing in again gets the page."""
    sample = sample_or_404(request, pk, code)
    found = next((each for each in _lines(sample) if each.test == test), None)
    if found is None:
        raise Http404(test)
    _save(request, sample, found)
    if request.htmx:
        return render(request, "grading/entry/_status.html", {"line": found})
    if found.problem:
        lines = [found if each.test == test else each for each in _lines(sample)]
        return _page(request, sample, lines, status=409)
    messages.success(request, _("The line is saved."))
    return redirect("choosing:record", pk, code)


def _lines(sample):
    return rows.lines_of(knowledge(sample.exam.centre), sample.exam.scheme, record_of(sample), choices=True)


def _save(request, sample, line, *, only_if_differs=False):
    form = rows.form_of(line, request.POST, kb=knowledge(sample.exam.centre), scheme=sample.exam.scheme)
    if only_if_differs and not rows.differs(line, form):
        return
    about = {"sample": sample, "who": request.user}
    if line.test == RESULT:
        rows.save_line(line, form, lambda words: services.result_save(**about, **words))
    else:
        rows.save_line(line, form, lambda words: services.line_save(**about, test=line.test, **words))


def _page(request, sample, lines, status=200):
    record = record_of(sample)
    return render(request, "grading/entry/choose.html", {
        "exam": sample.exam, "sample": sample, "lines": lines[:-1], "result": lines[-1], "record": record,
        "open": is_open(sample, record)}, status=status)
