"""Release, results, exports, and the moderator's view of records. Names stand on the teacher's pages only."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit import audit
from examkit.access import allow, exam_or_404
from examkit.errors import ExamkitError
from examkit.models import Role, Sample, State
from grading.errors import GradingError
from grading.marking.parts import stored
from grading.marking.selectors import full_stages, line_views, queue, record_of, sample_or_404
from grading.marking.suggest import frozen_record
from grading.marking.views.common import hides_first_marks
from grading.marking.words import stage_label
from grading.moderation import exports, selectors, services, tables
from grading.second.selectors import missing_before_release

release_people = allow(Role.TEACHER, Role.MODERATOR)
teacher_only = allow(Role.TEACHER)
record_people = allow(Role.MODERATOR)
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@release_people
@require_GET
def index(request, pk):
    """What is still missing, the consents, and whether the salts were alike in difficulty."""
    exam = exam_or_404(request, pk)
    found = selectors.results(exam)
    consents = selectors.consents(exam, found)
    mine = [consent for consent in consents if consent.role in request.roles and not consent.current]
    unsettled = missing_before_release(exam)
    by_salt, compared = selectors.by_salt(found), selectors.salts_compared(found)
    return render(
        request,
        "grading/moderation/index.html",
        {
            "exam": exam,
            "consents": consents,
            "mine": mine if exam.state == State.MARKED and not unsettled else [],
            "unsettled": unsettled,
            "unfinished": [result.code for result in found if result.state not in ("marked", "absent")],
            "digest": selectors.digest(found),
            "by_salt": by_salt,
            "compared": compared,
            "chance": selectors.chance_said(compared),
            "few": selectors.are_few(by_salt),
            "alone": len(consents) == 1,
            "teacher": Role.TEACHER in request.roles,
            "moderator": Role.MODERATOR in request.roles,
        },
    )


@release_people
@require_POST
def agree(request, pk):
    """Agree to the release; the last consent releases."""
    exam = exam_or_404(request, pk)
    try:
        exam = services.release_agree(
            exam=exam, role=request.POST.get("role", ""), who=request.user, seen=request.POST.get("seen", "")
        )
    except (ExamkitError, GradingError) as problem:
        messages.error(request, str(problem))
    else:
        messages.success(
            request,
            _("The results are released.")
            if exam.state == State.RELEASED
            else _("Your consent is noted. The results are released when the other person agrees, too."),
        )
    return redirect("moderation:index", pk)


@teacher_only
@require_POST
def withdraw(request, pk):
    """Take the release back, with a reason."""
    exam = exam_or_404(request, pk)
    try:
        services.release_withdraw(exam=exam, reason=request.POST.get("reason", ""), who=request.user)
    except (ExamkitError, GradingError) as problem:
        messages.error(request, str(problem))
    else:
        messages.success(request, _("The release is withdrawn: the results are provisional again."))
    return redirect("moderation:index", pk)


@record_people
@require_GET
def records(request, pk):
    """Every record by code, for the moderator."""
    exam = exam_or_404(request, pk)
    rows = queue(exam, request.user)
    return render(request, "grading/moderation/records.html", {"exam": exam, "rows": rows})


@record_people
@require_GET
@hides_first_marks
def record(request, pk, code):
    """One record with its awards, to read; no name stands on it."""
    sample = sample_or_404(request, pk, code)
    return render(request, "grading/moderation/record.html", _explained(sample))


@teacher_only
@require_GET
def results_page(request, pk):
    """The results by candidate, sorted by any column."""
    exam = exam_or_404(request, pk)
    found, sort = selectors.results(exam), request.GET.get("sort", "number")
    return render(
        request,
        "grading/moderation/results.html",
        {
            "exam": exam,
            "results": selectors.ordered(found, sort),
            "sort": sort,
            "heads": _heads(sort),
            "stages": [(stage, stage_label(stage)) for stage in selectors.stages(found)],
            "released": exam.state == State.RELEASED,
        },
    )


@teacher_only
@require_GET
def results_csv(request, pk):
    """The results as CSV."""
    return _file(request, pk, "csv", "text/csv; charset=utf-8", lambda rows, _numbers: exports.as_csv(rows))


@teacher_only
@require_GET
def results_xlsx(request, pk):
    """The results as a workbook."""
    return _file(request, pk, "xlsx", XLSX, lambda rows, cols: exports.as_xlsx(rows, _("Results"), cols))


@teacher_only
@require_GET
@hides_first_marks
def sheet(request, pk, code):
    """One candidate's result, explained mark by mark."""
    exam = exam_or_404(request, pk)
    sample = get_object_or_404(
        Sample.objects.select_related("candidate", "exam__centre", "sitting"), exam=exam, code=code
    )
    result = next(result for result in selectors.results(exam) if result.code == code)
    return render(
        request,
        "grading/moderation/sheet.html",
        _explained(sample)
        | {
            "candidate": sample.candidate,
            "result": result,
            "released": exam.state == State.RELEASED,
            "stages": [(stage_label(stage), *steps) for stage, *steps in selectors.stages_of(sample, result)],
        },
    )


def _explained(sample):
    """A record, line by line, with what was expected and every award with its reason."""
    record, frozen = record_of(sample), frozen_record(sample)
    lines = [view for view in line_views(record, frozen.record) if view.parts]
    return {
        "exam": sample.exam,
        "sample": sample,
        "record": record,
        "frozen": frozen,
        "lines": lines,
        "full": _full(record),
        "step_marks": record.paper["step_marks"] if record and record.paper else "1",
        "differing": sum(
            view.award is not None and view.award.steps != view.award.suggested_steps
            for line in lines
            for view in line.parts
        ),
    }


def _full(record):
    """The stages of a record that have reached their cap, with the cap."""
    suggestions = stored(record.paper) if record else None
    given = {award.part: award.steps for award in record.awards.all()} if record else {}
    return full_stages(suggestions, given) if suggestions else []


def _file(request, pk, kind, content_type, write):
    exam = exam_or_404(request, pk)
    found = selectors.results(exam)
    content = write(tables.rows(exam, found), tables.numbers(found))
    audit.record(
        centre=exam.centre,
        who=request.user,
        what="results exported",
        about=exam.name,
        detail={"as": kind, "status": tables.status(exam)},
    )
    return HttpResponse(
        content,
        content_type=content_type,
        headers={
            "Content-Disposition": f'attachment; filename="results-exam-{exam.pk}.{kind}"',
            "Cache-Control": "no-store",
        },
    )


def _heads(sort):
    """(column, title, what a click sorts by, aria-sort) for each column that can be sorted."""
    titles = {
        "number": _("Number"),
        "name": _("Name"),
        "group": _("Class"),
        "code": _("Code"),
        "salt": _("Salt"),
    }
    return [
        (
            column,
            title,
            f"-{column}" if sort == column else column,
            {column: "ascending", f"-{column}": "descending"}.get(sort, ""),
        )
        for column, title in (titles | {"steps": _("Total"), "percent": _("Per cent")}).items()
    ]
