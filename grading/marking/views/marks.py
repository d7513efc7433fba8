"""Marking a record: suggestions, awards, finishing."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from examkit.knowledge import knowledge
from grading.marking import awarding, pages, selectors, services
from grading.marking.parts import stored
from grading.marking.suggest import frozen_record
from grading.marking.views.common import (
    examiner_only,
    hides_first_marks,
    is_open,
    page_methods,
    tried,
    with_reason,
)
from grading.models import Way


@examiner_only
@page_methods
@hides_first_marks
def marks(request, pk, code):
    """A record with what was expected, the suggestions and the marks; without JavaScript saved as a whole."""
    sample = selectors.sample_or_404(request, pk, code)
    found = selectors.record_of(sample)
    if found and not found.paper and found.way != Way.EXAMINER and is_open(sample, found):
        tried(request, services.suggestions_make, sample=sample)
        found = selectors.record_of(sample)
    if found is None or not found.paper:
        return _without_record(request, sample, found)
    data = request.POST if request.method == "POST" else None
    rows = _award_rows(found, data)
    if data is not None:
        for row in rows.values():
            key = row.view.part.key
            pages.save_award(row, sample, request.user, accept=request.POST.get("accept") == key,
                             other=pages.other_reading(request.POST, key))
        if not any(row.problem for row in rows.values()):
            return redirect("marking:marks", pk, code)
    return _marks_page(request, sample, rows)


@examiner_only
@require_POST
@hides_first_marks
def award(request, pk, code, part):
    """Give one part its mark: htmx gets its status, a form sent after signing in again gets the page."""
    sample = selectors.sample_or_404(request, pk, code)
    row = _award_rows(selectors.record_of(sample), request.POST).get(part)
    if row is None:
        return redirect("marking:marks", pk, code)
    pages.save_award(row, sample, request.user, accept=bool(request.POST.get("accept")),
                     other=pages.other_reading(request.POST, part))
    if not request.htmx:
        rows = _award_rows(selectors.record_of(sample)) | {part: row}
        return _marks_page(request, sample, rows) if row.problem else redirect("marking:marks", pk, code)
    found = selectors.record_of(sample)
    row.view, row.stamp = _award_rows(found)[part].view, request.POST.get(f"{part}-stamp", "")
    return render(
        request,
        "grading/marking/_award_saved.html",
        {"row": row, "totals": selectors.totals(found, request.user), "open": True, "swap": True},
    )


@examiner_only
@require_POST
@hides_first_marks
def accept_sure(request, pk, code):
    """Accept all sure suggestions, as one act."""
    sample = selectors.sample_or_404(request, pk, code)
    awards = tried(
        request,
        awarding.awards_accept_sure,
        sample=sample,
        digest=request.POST.get("digest", ""),
        who=request.user,
    )
    if awards is not None:
        messages.success(request, _("%(count)d suggestions accepted.") % {"count": len(awards)})
    return redirect("marking:marks", pk, code)


@examiner_only
@require_POST
@hides_first_marks
def finish(request, pk, code):
    """Close a record, and go on to the next."""
    sample = selectors.sample_or_404(request, pk, code)
    if not tried(request, services.record_finish, sample=sample, who=request.user, otherwise=True):
        return redirect("marking:marks", pk, code)
    messages.success(request, _("The record %(code)s is finished.") % {"code": code})
    return redirect(f"{reverse('marking:next', args=[pk])}?after={code}")


@examiner_only
@require_POST
@hides_first_marks
def reopen(request, pk, code):
    """Open a finished record again."""
    return with_reason(request, pk, code, services.record_reopen, "marking:record")


@examiner_only
@require_POST
@hides_first_marks
def renew(request, pk, code):
    """Read the record again with the words known now."""
    sample = selectors.sample_or_404(request, pk, code)
    tried(request, services.suggestions_renew, sample=sample, who=request.user)
    return redirect("marking:marks", pk, code)


def _without_record(request, sample, record):
    """There is nothing to mark: back to the entry, or say that no record was handed in."""
    if record is None or not (record.absent or record.way != Way.EXAMINER):
        messages.info(request, _("Nothing has been entered under this code yet: enter the record first."))
    return redirect("marking:record", sample.exam_id, sample.code)


def _award_rows(record, data=None):
    """The parts of a record by key, bound to what was sent."""
    suggestions = stored(record.paper) if record else None
    return pages.award_rows(suggestions, selectors.part_views(record), data) if suggestions else {}


def _marks_page(request, sample, rows):
    """The marking page."""
    record, frozen = selectors.record_of(sample), frozen_record(sample)
    suggestions = stored(record.paper)
    shown = pages.sheet(record, frozen.record, suggestions, rows, selectors.part_views(record))
    return render(
        request,
        "grading/marking/marks.html",
        shown | {
            "exam": sample.exam,
            "sample": sample,
            "record": record,
            "frozen": frozen,
            "totals": selectors.totals(record, request.user),
            "open": is_open(sample, record),
            "renewable": suggestions.read_with != knowledge(sample.exam.centre).edition,
        },
        status=409 if any(row.problem for row in rows.values()) else 200,
    )
