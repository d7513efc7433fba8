"""The exams of a centre, one exam's page, and its way through the states."""

from decimal import Decimal

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import NoReverseMatch, resolve, reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow, exam_or_404
from examkit.errors import ExamkitError
from examkit.knowledge import knowledge
from examkit.models import Exam, Role, State
from examkit.planning import services
from examkit.planning.forms import MILLIGRAMS, CopyForm, DutyForm, ExamForm, ReasonForm
from examkit.planning.selectors import life
from examkit.planning.selectors.blind import not_blind
from examkit.planning.selectors.gone import what_was_set
from examkit.planning.views.common import attempt, reason_of, sentences


@allow(Role.TEACHER)
@require_GET
def exams(request):
    """All exams of the centre, newest first."""
    return render(
        request, "examkit/planning/exams.html", {"exams": Exam.objects.filter(centre=request.centre)}
    )


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def new(request):
    """Plan a new exam."""
    form = ExamForm(request.POST or None, centre=request.centre)
    if request.method == "POST" and form.is_valid():
        try:
            exam = services.exam_create(centre=request.centre, who=request.user, **form.particulars())
        except ExamkitError as problem:
            form.add_error(None, sentences(problem))
        else:
            messages.success(request, _("The exam is made. Next: the class list, a room, the pool."))
            return redirect(exam)
    return render(request, "examkit/planning/exam_form.html", {"form": form})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def edit(request, pk):
    """Change an exam's particulars; a stale save shows both versions."""
    exam = exam_or_404(request, pk)
    form = ExamForm(request.POST or None, instance=exam, centre=request.centre)
    theirs = None
    if request.method == "POST" and form.is_valid():
        fields = form.particulars()
        try:
            services.exam_change(exam=exam, who=request.user, version=form.cleaned_data["version"], **fields)
        except ExamkitError as problem:
            form.add_error(None, sentences(problem))
            theirs = getattr(problem, "theirs", None)
        else:
            messages.success(request, _("Saved."))
            return redirect("planning:exam", pk)
    if theirs:
        form = _on_their_version(request, form, theirs)
    context = {"form": form, "exam": Exam.objects.get(pk=exam.pk), "theirs": _rows(theirs, form)}
    return render(request, "examkit/planning/exam_form.html", context, status=409 if theirs else 200)


def _on_their_version(request, form, theirs):
    """The same form with what was typed, on top of the version that is stored, so that it can be saved
    after all."""
    data = request.POST.copy()
    data["version"] = theirs.version
    again = ExamForm(data, instance=theirs, centre=request.centre)
    again.is_valid()
    for problem in form.non_field_errors():
        again.add_error(None, problem)
    return again


def _rows(theirs, form):
    """Field by field: what is stored now, and what was typed."""
    if theirs is None:
        return []
    stored = ExamForm(instance=Exam.objects.get(pk=theirs.pk), centre=theirs.centre)
    return [
        (field.label, stored[field.name].value(), field.value())
        for field in form.visible_fields() if str(stored[field.name].value()) != str(field.value())
    ]


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def copy(request, pk):
    """Plan a new exam like this one."""
    found = exam_or_404(request, pk)
    form = CopyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            new_one = services.exam_copy(exam=found, who=request.user, **form.cleaned_data)
        except ExamkitError as problem:
            form.add_error(None, sentences(problem))
        else:
            messages.success(request, _("The exam is made. Next: the class list."))
            return redirect(new_one)
    return render(request, "examkit/planning/copy.html", {"exam": found, "form": form})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def staff(request, pk):
    """Who does what in an exam, and somebody more."""
    found = exam_or_404(request, pk)
    form = DutyForm(request.POST or None, exam=found)
    if request.method == "POST" and form.is_valid() and attempt(
            request, services.duty_add, exam=found, who=request.user, **form.cleaned_data):
        return redirect("planning:staff", pk)
    return render(request, "examkit/planning/staff.html", {
        "exam": found, "form": form, "duties": found.duties.select_related("user"),
        "not_blind": not_blind(found)})


@allow(Role.TEACHER)
@require_POST
def staff_remove(request, pk, duty):
    """Take a part from somebody, with a reason."""
    found = get_object_or_404(exam_or_404(request, pk).duties, pk=duty)
    attempt(request, services.duty_remove, duty=found, who=request.user, reason=reason_of(request))
    return redirect("planning:staff", pk)


@allow(Role.TEACHER)
@require_GET
def exam(request, pk):
    """What is done and what is missing next."""
    found = exam_or_404(request, pk)
    to, kb, steps = life.next_state(found), knowledge(found.centre), life.steps(found)
    return render(
        request,
        "examkit/planning/exam.html",
        {
            "exam": found,
            "steps": steps,
            "states": State.choices,
            "next": to,
            "missing": life.still_missing(found) if to else [],
            "previous": _previous(found),
            "reason": ReasonForm(),
            "duties": found.duties.select_related("user"),
            "first": next((step for step in steps if not step.done), None),
            "parts": _parts(request, found),
            "gone": what_was_set(found),
            "sample_g": Decimal(found.sample_mg) / MILLIGRAMS,
            "scheme_title": kb.schemes[found.scheme].title if found.scheme in kb.schemes else found.scheme,
            "mark_scheme_title": kb.mark_schemes.get(found.mark_scheme, {}).get("title", found.mark_scheme),
        },
    )


PARTS = (
    (
        ("stockroom:index", "stockroom:overview"),
        _lazy("Stock room"),
        _lazy("what to weigh, make up and label"),
    ),
    (("printing:overview",), _lazy("Papers"), _lazy("record sheets, labels, lists, marking key")),
    (("day:index",), _lazy("The day"), _lazy("attendance, second samples, incidents, time")),
    (("door:index",), _lazy("At the bench"), _lazy("codes for candidates who type their record")),
    (("marking:index",), _lazy("Marking"), _lazy("records by sample code")),
    (("second:index",), _lazy("Second marking"), _lazy("a sample marked again, differences settled")),
    (("moderation:index",), _lazy("Results"), _lazy("marks by salt, release, export")),
)


def _parts(request, exam):
    """The other parts' pages of a drawn exam that this person may open."""
    if exam.state == State.DRAFT:
        return []
    found = []
    for names, title, told in PARTS:
        url = next((url for name in names if (url := _open_to(request, name, exam))), None)
        found += [{"url": url, "title": title, "told": told}] if url else []
    return found


def _open_to(request, name, exam):
    try:
        url = reverse(name, args=[exam.pk])
    except NoReverseMatch:
        return None
    rule = getattr(resolve(url).func, "rule", None)
    return url if rule and rule.admits(signed_in=True, roles=request.roles) else None


def _previous(exam):
    place = life.ORDER.index(State(exam.state))
    return life.ORDER[place - 1] if place else None


@allow(Role.TEACHER)
@require_POST
def move(request, pk):
    """Move an exam on, or one state back with a reason."""
    found = exam_or_404(request, pk)
    to = request.POST.get("to", "")
    if to not in State.values:
        messages.error(request, _("There is no such state."))
    elif attempt(request, services.exam_move, exam=found, to=to, who=request.user,
                 reason=reason_of(request)):
        messages.success(request, _("The exam is now: %(state)s.") % {"state": State(to).label})
    return redirect("planning:exam", pk)


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def delete(request, pk):
    """Delete a draft, with a reason."""
    found = exam_or_404(request, pk)
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and attempt(
            request, services.exam_delete, exam=found, who=request.user, reason=form.cleaned_data["reason"]):
        messages.success(request, _("The exam '%(exam)s' is deleted.") % {"exam": found.name})
        return redirect("planning:exams")
    return render(request, "examkit/planning/exam_delete.html", {"exam": found, "form": form})
