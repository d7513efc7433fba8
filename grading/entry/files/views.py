"""Importing records: choose a file, see all that is wrong or what it would change, then confirm."""

from django import forms
from django.contrib import messages
from django.core import signing
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import exam_or_404
from examkit.errors import ExamkitError
from examkit.knowledge import knowledge
from grading.entry.files import services
from grading.entry.files.compare import compare
from grading.entry.files.reading import read_file
from grading.entry.files.template import MAKE
from grading.entry.files.written import Cell, Entry
from grading.errors import GradingError
from grading.marking.selectors import unfinished_codes
from grading.marking.views.common import examiner_only
from grading.models import Record

SIGNED_AS = "examkit records"
HOURS_OF_A_PREVIEW = 24
LARGEST_MB = 10
REFUSED = 422
MOST_SHOWN = 200  # problems on a page; a file that is none of records has as many as lines


class FileForm(forms.Form):
    """The file."""

    file = forms.FileField(label=_lazy("File with records"), help_text=_lazy("CSV, XLSX or YAML."),
                           widget=forms.FileInput({"accept": ".csv,.xlsx,.yaml,.yml,.json,.txt"}))


@examiner_only
@require_http_methods(["GET", "HEAD", "POST"])
def upload(request, pk):
    """Choose a file; it is read and shown before anything is saved."""
    exam = exam_or_404(request, pk)
    if request.method != "POST":
        return _page(request, exam, FileForm())
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, exam, form, status=REFUSED)
    file = form.cleaned_data["file"]
    if file.size > LARGEST_MB * 2**20:
        form.add_error("file", _("The file is larger than %(limit)d MB.") % {"limit": LARGEST_MB})
        return _page(request, exam, form, status=REFUSED)
    reading = read_file(file.read(), file.name)
    difference = compare(exam, reading.entries) if reading.entries or not reading.problems else None
    problems = [*reading.problems, *(difference.problems if difference else ())]
    if problems:
        return _page(request, exam, form, problems=problems, file=file.name, status=REFUSED)
    return render(request, "grading/entry/file_preview.html", {
        "exam": exam, "difference": difference, "remarks": reading.remarks, "file": file.name,
        "kept": _packed(exam, reading.entries, difference, file.name)})


@examiner_only
@require_POST
def confirm(request, pk):
    """Import the file that was shown: all of it or nothing."""
    exam = exam_or_404(request, pk)
    kept = _unpacked(request.POST.get("kept", ""), exam)
    if kept is None:
        messages.error(request, _("This preview is too old or was changed. Choose the file again."))
        return redirect("records:import", pk)
    try:
        done = services.records_import(exam=exam, who=request.user, **kept)
    except services.FileRefused as problem:
        return _page(request, exam, FileForm(), problems=problem.problems, file=kept["name"], status=REFUSED)
    except (ExamkitError, GradingError) as problem:
        messages.error(request, str(problem))
        return redirect("records:import", pk)
    messages.success(request, _("Imported. Lines: %(lines)d; records: %(records)d.")
                     % {"lines": len(done.changes), "records": len(done.codes)})
    return redirect("marking:index", pk)


@examiner_only
@require_GET
def template(request, pk, kind):
    """The file to fill in, with the records that have not been entered yet."""
    exam = exam_or_404(request, pk)
    if kind not in MAKE:
        raise Http404(kind)
    entered = Record.objects.filter(sample__exam=exam).exclude(paper={})
    entered = set(entered.values_list("sample__code", flat=True))
    codes = [code for code in unfinished_codes(exam) if code not in entered]
    tests = list(dict.fromkeys(stage.test for stage in knowledge(exam.centre).schemes[exam.scheme].stages))
    content_type, make = MAKE[kind]
    answer = HttpResponse(make(codes, tests), content_type=content_type)
    answer["Content-Disposition"] = f'attachment; filename="records-{exam.pk}.{kind}"'
    return answer


def _page(request, exam, form, *, problems=(), file="", status=200):
    problems = sorted(problems, key=lambda each: each.line)
    return render(request, "grading/entry/file.html", {
        "exam": exam, "form": form, "problems": problems[:MOST_SHOWN], "n": len(problems), "file": file,
        "more": len(problems[MOST_SHOWN:]), "kinds": list(MAKE)}, status=status)


def _packed(exam, entries, difference, name):
    rows = [[_cell(cell) for cell in (e.code, e.test, e.observation, e.inference)] for e in entries]
    return signing.dumps([exam.pk, name, difference.digest, rows], salt=SIGNED_AS, compress=True)


def _unpacked(kept, exam):
    try:
        pk, name, seen, rows = signing.loads(kept, salt=SIGNED_AS, max_age=HOURS_OF_A_PREVIEW * 3600)
    except signing.BadSignature:
        return None
    entries = tuple(Entry(*(Cell(*cell) for cell in row)) for row in rows)
    return {"entries": entries, "seen": seen, "name": name} if pk == exam.pk else None


def _cell(cell):
    return [cell.text, cell.line, cell.column]


