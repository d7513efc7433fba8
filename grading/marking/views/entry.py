"""Entering a record as the candidate wrote it."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from grading.marking import pages, selectors, services
from grading.marking.suggest import frozen_record
from grading.marking.views.common import examiner_only, is_open, page_methods, tried, with_reason


@examiner_only
@page_methods
def record(request, pk, code):
    """The record of a sample, as the candidate wrote it; without JavaScript it is saved as a whole."""
    sample, rows = _entry(request, pk, code, request.POST if request.method == "POST" else None)
    if request.method == "POST" and _saved_whole(request, sample, rows):
        return redirect("marking:marks" if "mark" in request.POST else "marking:record", pk, code)
    found = selectors.record_of(sample)
    cations, anions = selectors.ion_words(sample.exam.scheme)
    failed = any(row.failed for row in rows)
    return render(
        request,
        "grading/marking/record.html",
        {
            "exam": sample.exam,
            "sample": sample,
            "rows": rows[:-1],
            "result": rows[-1],
            "record": found,
            "open": is_open(sample, found),
            "cations": cations,
            "anions": anions,
            "failed": failed,
        },
        status=409 if failed else 200,
    )


@examiner_only
@require_POST
def line(request, pk, code, test):
    """Save one line of a record, and say in its status what became of it."""
    sample = selectors.sample_or_404(request, pk, code)
    row = _entry_row(sample, test, request.POST)
    pages.save_entry(row, sample, request.user)
    if row.saved:
        row.view = _entry_row(sample, test, request.POST).view
    return render(request, "grading/marking/_entry_status.html", {"row": row, "open": True})


@examiner_only
@require_POST
def absent(request, pk, code):
    """Say that no record was handed in."""
    return with_reason(request, pk, code, services.record_absent, "marking:record")


def _entry(request, pk, code, data):
    """The sample and the rows of its record, bound to what was sent."""
    sample = selectors.sample_or_404(request, pk, code)
    views = selectors.line_views(selectors.record_of(sample), frozen_record(sample).record)
    return sample, [pages.entry_row(view, sample.exam, data) for view in views]


def _entry_row(sample, test, data):
    """The row of one line, bound to what was sent."""
    view = selectors.line_view(selectors.record_of(sample), frozen_record(sample).record, test)
    return pages.entry_row(view, sample.exam, data)


def _saved_whole(request, sample, rows):
    """Save every row; True where nothing stands in the way of going on."""
    if not tried(request, services.record_enter, sample=sample, who=request.user):
        return False
    for row in rows:
        pages.save_entry(row, sample, request.user)
    failed = [row for row in rows if row.failed]
    if failed:
        messages.error(
            request,
            _("%(count)d lines are not saved: see what stands beside them. The others are.")
            % {"count": len(failed)},
        )
    else:
        messages.success(request, _("The record is saved."))
    return not failed
