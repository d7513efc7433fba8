"""The class list: imported with a preview, or edited by hand."""

from dataclasses import astuple

from django.contrib import messages
from django.core import signing
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRefresh

from examkit.access import allow, exam_or_404
from examkit.models import Role
from examkit.planning import empty_list, progress, services
from examkit.planning.forms import CandidateForm, RosterForm
from examkit.planning.headings import USUAL
from examkit.planning.roster import Entry, read_roster
from examkit.planning.selectors.gone import acts_on_list
from examkit.planning.selectors.roster import COLUMNS, compare, fingerprint
from examkit.planning.tasks import import_class_list, start_import
from examkit.planning.views.common import attempt, reason_of, sentence

SIGNED_AS = "examkit class list"
LARGEST_MB = 10
HOURS_OF_A_PREVIEW = 24
SHOWN = 200  # candidates to be added that a preview lists


@allow(Role.TEACHER)
@require_GET
def roster(request, pk):
    """All candidates of an exam."""
    exam = exam_or_404(request, pk)
    return render(request, "examkit/planning/roster.html", {
        "exam": exam, "candidates": exam.candidates.all(), "gone": acts_on_list(exam)})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def upload(request, pk):
    """Choose a file; it is read and shown before anything is saved."""
    exam = exam_or_404(request, pk)
    form = RosterForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        return _preview(request, exam, form)
    return render(request, "examkit/planning/roster_import.html", {"exam": exam, "form": form})


def _preview(request, exam, form):
    file = form.cleaned_data["list"]
    if file.size > LARGEST_MB * 2**20:
        form.add_error("list", _("The file has %(size)d MB; limit %(limit)d MB.") % {
            "size": file.size // 2**20, "limit": LARGEST_MB})
        return render(
            request, "examkit/planning/roster_import.html", {"exam": exam, "form": form}, status=422
        )
    reading = read_roster(file.read(), file.name, form.cleaned_data["classes"])
    columns = [(title, COLUMNS[key]) for title, key in reading.columns]
    context = {"exam": exam, "form": form, "columns": columns, "file": file.name}
    if reading.problems:
        context |= {"problems": [_row(problem) for problem in reading.problems]}
        return render(request, "examkit/planning/roster_import.html", context, status=422)
    kept = signing.dumps(
        [exam.pk, [astuple(entry) for entry in reading.entries], bool(reading.unread)], salt=SIGNED_AS,
        compress=True)
    difference = compare(exam, reading.entries)
    context |= {"difference": difference, "kept": kept, "rows": len(reading.entries),
                "listed": difference.added[:SHOWN], "shown": SHOWN,
                "remarks": [_row(remark) for remark in reading.remarks],
                "unread": [_row(words) for words in reading.unread], "ignored": reading.ignored,
                "usual": ", ".join(USUAL.values())}
    return render(request, "examkit/planning/roster_preview.html", context)


def _row(problem):
    return {"file": problem.file, "line": problem.line, "column": problem.column,
            "what": sentence(problem.what)}


@allow(Role.TEACHER)
@require_POST
def confirm(request, pk):
    """Import the list that was shown: all of it or nothing."""
    exam = exam_or_404(request, pk)
    entries, unread = _kept_entries(request.POST.get("kept", ""), exam)
    if entries is None:
        messages.error(request, _("This preview is too old or was changed. Choose the file again."))
        return redirect("planning:roster-import", pk)
    if unread and not request.POST.get("seen"):
        messages.error(request, _("Words in the column of needs were not understood. Choose the file again, "
                                  "and tick below them that you have noted them."))
        return redirect("planning:roster-import", pk)
    result = start_import(exam=exam, who=request.user, entries=entries)
    if not result.is_finished:
        return redirect("planning:roster-import-state", pk, result.id)
    return _told(request, exam, result)


def _kept_entries(kept, exam):
    """The entries of a preview, and whether it had words that were not understood; None for the entries where
    it is too old, was changed, or is another exam's."""
    try:
        pk, rows, unread = signing.loads(kept, salt=SIGNED_AS, max_age=HOURS_OF_A_PREVIEW * 3600)
    except signing.BadSignature:
        return None, False
    return ([Entry(*row) for row in rows] if pk == exam.pk else None), unread


@allow(Role.TEACHER)
@require_GET
def empty_csv(request):
    """An empty class list as CSV."""
    return _download(empty_list.as_csv(), "text/csv; charset=utf-8", "class-list.csv")


@allow(Role.TEACHER)
@require_GET
def empty_xlsx(request):
    """An empty class list as a workbook."""
    return _download(empty_list.as_xlsx(),
                     "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "class-list.xlsx")


def _download(content, kind, name):
    return HttpResponse(content, content_type=kind, headers={
        "Content-Disposition": f'attachment; filename="{name}"'})


@allow(Role.TEACHER)
@require_GET
def import_state(request, pk, task):
    """How far an import is that a worker does."""
    exam = exam_or_404(request, pk)
    result = _result(task)
    if result.args[0] != exam.pk:
        raise Http404
    if result.is_finished and request.htmx:
        return HttpResponseClientRefresh()
    if result.is_finished:
        return _told(request, exam, result)
    return render(request, "examkit/planning/roster_waiting.html", {
        "exam": exam, "written": progress.told(task), "rows": result.args[3],
        "running": result.started_at is not None})


def _result(task):
    from django_tasks.exceptions import TaskResultDoesNotExist

    if not import_class_list.get_backend().supports_get_result:  # one that works at once keeps nothing
        raise Http404
    try:
        return import_class_list.get_result(task)
    except TaskResultDoesNotExist:
        raise Http404 from None


def _told(request, exam, result):
    done = result.return_value if not result.errors else {
        "refused": _("The import broke off and nothing was saved. Try again; if it happens again, ask for "
                     "help.")}
    if "refused" in done:
        messages.error(request, done["refused"])
    else:
        messages.success(
            request, _("Imported: %(added)d added, %(changed)d changed, %(same)d stayed.") % done
        )
    return redirect("planning:roster", exam.pk)


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def candidate(request, pk, candidate=None):
    """Add a candidate or change one."""
    exam = exam_or_404(request, pk)
    found = get_object_or_404(exam.candidates, pk=candidate) if candidate else None
    was = fingerprint(found)  # before the form writes what was typed into it
    form = CandidateForm(request.POST or None, instance=found, exam=exam)
    if request.method == "POST" and form.is_valid():
        kept = exam.candidates.get(pk=candidate) if candidate else None
        if attempt(
            request, services.candidate_save, exam=exam, who=request.user, candidate=kept,
            was=request.POST.get("was", ""), **form.cleaned_data
        ):
            messages.success(request, _("Saved."))
            return redirect("planning:roster", pk)
    return render(
        request, "examkit/planning/candidate_form.html",
        {"exam": exam, "candidate": found, "form": form, "was": was},
    )


@allow(Role.TEACHER)
@require_POST
def candidate_delete(request, pk, candidate):
    """Take a candidate off the list of a draft, with a reason."""
    found = get_object_or_404(exam_or_404(request, pk).candidates, pk=candidate)
    if attempt(request, services.candidate_delete, candidate=found, who=request.user,
               reason=reason_of(request)):
        messages.success(request, _("The candidate is taken off the list; below that can be undone."))
        return redirect("planning:roster", pk)
    return redirect("planning:candidate", pk, candidate)
