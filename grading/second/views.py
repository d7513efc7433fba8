"""The pages of second marking: the sample and its agreement, blind marking, settling."""

from dataclasses import dataclass

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit.access import allow, exam_or_404
from examkit.errors import ExamkitError
from examkit.models import Role
from grading.errors import GradingError
from grading.marking import pages
from grading.marking.parts import stored
from grading.marking.selectors import LineView, line_views, sample_or_404, totals_of
from grading.marking.suggest import frozen_record
from grading.marking.views.common import page_methods, tried
from grading.second import selectors, services
from grading.second.forms import AllowedForm, DrawForm, SettleForm

everybody = allow(Role.TEACHER, Role.MODERATOR, Role.EXAMINER)
people = allow(Role.TEACHER, Role.MODERATOR)
teacher_only = allow(Role.TEACHER)
second_markers = allow(Role.EXAMINER, Role.MODERATOR)


@everybody
@require_GET
def index(request, pk):
    """What a person has to mark a second time; the whole sample for teacher and moderator."""
    exam = exam_or_404(request, pk)
    leads = bool({Role.TEACHER, Role.MODERATOR} & set(request.roles))
    return _index_page(request, exam, leads=leads)


@people
@require_POST
def draw(request, pk):
    """Draw the sample, or more of it."""
    exam = exam_or_404(request, pk)
    form = _draw_form(exam, request.POST)
    if not form.is_valid():
        return _index_page(request, exam, draw_form=form, status=409)
    done = tried(
        request,
        services.sample_draw,
        exam=exam,
        size=form.cleaned_data["size"],
        reason=form.cleaned_data.get("reason", ""),
        who=request.user,
    )
    if done:
        messages.success(request, _("The sample is drawn: its records wait for their second markers."))
    return redirect("second:index", pk)


@teacher_only
@require_POST
def allowed(request, pk):
    """Say how large a difference may stand."""
    exam = exam_or_404(request, pk)
    form = AllowedForm(request.POST)
    if not form.is_valid():
        return _index_page(request, exam, allowed_form=form, status=409)
    tried(request, services.allowed_set, exam=exam, who=request.user, **form.cleaned_data)
    return redirect("second:index", pk)


@people
@require_POST
def take_out(request, pk, code):
    """Take a record out of the sample."""
    sample = sample_or_404(request, pk, code)
    tried(
        request,
        services.sample_take_out,
        sample=sample,
        reason=request.POST.get("reason", ""),
        who=request.user,
    )
    return redirect("second:index", pk)


@second_markers
@page_methods
def marks(request, pk, code):
    """A record to mark a second time, without its first marks; without JavaScript saved as a whole."""
    sample = sample_or_404(request, pk, code)
    row = selectors.row_or_404(sample, request.user)
    data = request.POST if request.method == "POST" else None
    rows = pages.award_rows(stored(row.marking.record.paper), row.views, data)
    if data is None:
        return _marks_page(request, sample, row, rows)
    for key, each in rows.items():
        pages.save_award(
            each,
            sample,
            request.user,
            accept=data.get("accept") == key,
            other=pages.other_reading(data, key),
            give=services.second_set,
        )
    if any(each.problem for each in rows.values()):
        return _marks_page(request, sample, selectors.row_or_404(sample, request.user), rows)
    return redirect("second:marks", pk, code)


@second_markers
@require_POST
def award(request, pk, code, part):
    """Give one part its second mark: htmx gets its status, a form sent otherwise gets the page."""
    sample = sample_or_404(request, pk, code)
    before = selectors.row_or_404(sample, request.user)
    row = pages.award_rows(stored(before.marking.record.paper), before.views, request.POST).get(part)
    if row is None:
        return redirect("second:marks", pk, code)
    pages.save_award(
        row,
        sample,
        request.user,
        accept=bool(request.POST.get("accept")),
        other=pages.other_reading(request.POST, part),
        give=services.second_set,
    )
    found = selectors.row_or_404(sample, request.user)
    if not request.htmx:
        return (
            _marks_page(request, sample, found, {part: row})
            if row.problem
            else redirect("second:marks", pk, code)
        )
    row.view = next(view for view in found.views if view.part.key == part)
    row.stamp = request.POST.get(f"{part}-stamp", "")
    shown = {"row": row, "totals": _totals(found), "open": True, "swap": True}
    return render(request, "grading/marking/_award_saved.html", shown)


@second_markers
@require_POST
def finish(request, pk, code):
    """Finish a second marking, and go on to the next."""
    sample = sample_or_404(request, pk, code)
    selectors.row_or_404(sample, request.user)
    if not tried(request, services.second_finish, sample=sample, who=request.user):
        return redirect("second:marks", pk, code)
    messages.success(request, _("The second marking of %(code)s is finished.") % {"code": code})
    left = [row.code for row in selectors.rows(sample.exam, request.user) if not row.done]
    return redirect("second:marks", pk, left[0]) if left else redirect("second:index", pk)


@people
@page_methods
def settle(request, pk, code):
    """The differences of a record, both marks beside each other; a moderator decides."""
    sample = sample_or_404(request, pk, code)
    found = _settlings(sample)
    if request.method == "POST":
        part = request.POST.get("part", "")
        this = next((each for each in found if each.difference.mark.part == part), None)
        if this and _settled(request, sample, this):
            return _after_settling(request, sample)
    frozen = frozen_record(sample)
    shown = {
        "exam": sample.exam,
        "sample": sample,
        "frozen": frozen,
        "found": found,
        "record": selectors.row_or_404(sample),
        "moderator": Role.MODERATOR in request.roles,
        "next": selectors.next_to_settle(sample.exam, code),
    }
    return render(
        request, "grading/second/settle.html", shown, status=409 if any(e.problem for e in found) else 200
    )


@dataclass
class Settling:
    """A difference on the page, with its form and what became of it."""

    difference: selectors.Difference
    line: LineView
    view: object
    form: SettleForm
    problem: str = ""


def _settlings(sample):
    row = selectors.row_or_404(sample)
    lines = line_views(row.marking.record, frozen_record(sample).record, row.views)
    at = {view.part.key: (line, view) for line in lines for view in line.parts}
    return [Settling(each, *at[each.mark.part], SettleForm(mark=each.mark)) for each in row.differences]


def _settled(request, sample, this):
    this.form = form = SettleForm(request.POST, mark=this.difference.mark)
    if not form.is_valid():
        this.problem = " ".join(str(message) for said in form.errors.values() for message in said)
        return False
    data = form.cleaned_data
    try:
        services.settle(
            sample=sample,
            part=this.difference.mark.part,
            steps=data["steps"],
            reason=data["reason"],
            version=data["version"],
            stamp=data["stamp"],
            who=request.user,
        )
    except (ExamkitError, GradingError) as problem:
        this.problem = str(problem)
    return not this.problem


def _after_settling(request, sample):
    """On to what is left to settle in this record, then in the next, then to the sample."""
    if selectors.row_or_404(sample).unsettled:
        return redirect("second:settle", sample.exam_id, sample.code)
    messages.success(request, _("All differences of %(code)s are settled.") % {"code": sample.code})
    return redirect(
        selectors.next_to_settle(sample.exam, sample.code) or redirect("second:index", sample.exam_id).url
    )


def _draw_form(exam, data=None):
    left = len(selectors.entries(exam, second=None))
    return DrawForm(data, of=left, more=exam.second_draws.exists())


def _index_page(request, exam, *, leads=True, draw_form=None, allowed_form=None, status=200):
    shown = {
        "exam": exam,
        "leads": leads,
        "open": exam.state in selectors.OPEN,
        "mine": selectors.rows(exam, request.user) if selectors.may_mark(exam, request.user) else [],
    }
    if leads:
        found, steps = selectors.rows(exam), selectors.allowed_steps(exam)
        shown |= {
            "rows": found,
            "agreed": selectors.agreed(found),
            "draws": selectors.draws(exam),
            "markers": selectors.markers(exam),
            "allowed": steps,
            "step_marks": selectors.step_of(exam),
            "enough": selectors.enough(),
            "next": selectors.next_to_settle(exam),
            "left": len(selectors.entries(exam, second=None)),
            "draw_form": draw_form or _draw_form(exam),
            "allowed_form": allowed_form or AllowedForm(initial={"steps": steps}),
            "teacher": Role.TEACHER in request.roles,
            "moderator": Role.MODERATOR in request.roles,
        }
    return render(request, "grading/second/index.html", shown, status=status)


def _marks_page(request, sample, row, rows):
    record, frozen = row.marking.record, frozen_record(sample)
    closed = row.done or not record.finished or sample.exam.state not in selectors.OPEN
    closed = closed or not selectors.may_mark(sample.exam, request.user)
    shown = pages.sheet(record, frozen.record, stored(record.paper), rows, row.views)
    return render(
        request,
        "grading/second/marks.html",
        shown
        | {
            "exam": sample.exam,
            "sample": sample,
            "record": record,
            "frozen": frozen,
            "totals": _totals(row),
            "open": not closed,
            "row": row,
            "award_to": "second:award",
        },
        status=409 if any(each.problem for each in rows.values()) else 200,
    )


def _totals(row):
    return totals_of(stored(row.marking.record.paper), row.views)
