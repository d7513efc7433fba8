"""Entering a record as the candidate wrote it."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from grading.marking import pages, selectors, services
from grading.marking.suggest import frozen_record
from grading.marking.views.common import (
    examiner_only,
    is_open,
    page_methods,
    told_how_many,
    tried,
    with_reason,
)


@examiner_only
@page_methods
def record(request, pk, code):
    """The record of a sample, as the candidate wrote it; without JavaScript it is saved as a whole."""
    sample = selectors.sample_or_404(request, pk, code)
    if request.method != "POST":
        return _record_page(request, sample, _entry_rows(sample))
    rows = _entry_rows(sample, request.POST)
    if _saved_whole(request, sample, rows):
        return redirect("marking:marks" if "mark" in request.POST else "marking:record", pk, code)
    return _record_page(request, sample, rows, status=409)


@examiner_only
@require_POST
def line(request, pk, code, test):
    """Save one line of a record: htmx gets its status, a form sent after signing in again gets the page."""
    sample = selectors.sample_or_404(request, pk, code)
    row = _row_of(_entry_rows(sample, request.POST), test)
    pages.save_entry(row, sample, request.user)
    if row.saved:
        row.view = _row_of(_entry_rows(sample), test).view
    if request.htmx:
        return render(request, "grading/marking/_entry_status.html", {"row": row, "open": True})
    if row.failed:
        rows = [row if other.view.test == test else other for other in _entry_rows(sample)]
        return _record_page(request, sample, rows, status=409)
    messages.success(request, _("The line is saved."))
    return redirect("marking:record", pk, code)


@examiner_only
@require_POST
def absent(request, pk, code):
    """Say that no record was handed in."""
    return with_reason(request, pk, code, services.record_absent, "marking:record")


def _record_page(request, sample, rows, status=200):
    """The page of a record; rows that were just saved show their new version."""
    fresh = {row.view.test: row.view for row in _entry_rows(sample)}
    for row in rows:
        row.view = fresh[row.view.test] if row.saved else row.view
    found = selectors.record_of(sample)
    cations, anions = selectors.ion_words(sample.exam)
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
        },
        status=status,
    )


def _entry_rows(sample, data=None):
    """The rows of a sample's record, bound to what was sent."""
    views = selectors.line_views(selectors.record_of(sample), frozen_record(sample).record)
    return [pages.entry_row(view, sample.exam, data) for view in views]


def _row_of(rows, test):
    """The row of one test; no such test, no page."""
    found = next((row for row in rows if row.view.test == test), None)
    if found is None:
        raise Http404(test)
    return found


def _saved_whole(request, sample, rows):
    """Save every row; True where nothing stands in the way of going on."""
    if not tried(request, services.record_enter, sample=sample, who=request.user):
        return False
    for row in rows:
        pages.save_entry(row, sample, request.user)
    return told_how_many(request, sum(row.failed for row in rows))
