"""The pages of who keeps the door: codes given out, time, closing; by bench and sample code."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from examkit.access import allow, exam_or_404
from examkit.errors import ExamkitError
from examkit.models import Role, Sample, Sitting, State
from grading.entry.bench import selectors, services
from grading.entry.bench.forms import RulesForm, UntilForm
from grading.errors import GradingError

teacher_only = allow(Role.TEACHER)
at_the_door = allow(Role.TEACHER, Role.INVIGILATOR)


@at_the_door
@require_GET
def index(request, pk):
    """The sittings of an exam with their benches, and how far everybody is."""
    exam = exam_or_404(request, pk)
    sittings = [(sitting, UntilForm.of(sitting), selectors.places(sitting))
                for sitting in exam.sittings.select_related("room")]
    rules = RulesForm(initial={"choices": selectors.choices_allowed(exam)})
    return render(request, "grading/entry/door.html", {
        "exam": exam, "sittings": sittings, "rules": rules, "open": exam.state == State.PREPARED,
        "teacher": Role.TEACHER in request.roles})


@teacher_only
@require_POST
def rules(request, pk):
    """Say whether outcomes may be chosen."""
    exam = exam_or_404(request, pk)
    if _tried(request, services.rules_set, exam=exam, choices="choices" in request.POST, who=request.user):
        messages.success(request, _("The rules of the bench page are saved."))
    return redirect("door:index", pk)


@at_the_door
@require_POST
def issue(request, pk, sitting):
    """Give out codes to all who have none: they are shown once, to be printed or read out."""
    return _slips(request, _sitting(request, pk, sitting))


@at_the_door
@require_POST
def reissue(request, pk, sitting, code):
    """A new code for one candidate, in place of the one before."""
    found = _sitting(request, pk, sitting)
    sample = get_object_or_404(Sample.objects.defer("salt"), sitting=found, code=code)
    return _slips(request, found, samples=[sample])


@at_the_door
@require_POST
def time(request, pk, sitting):
    """Another end for everybody in a sitting."""
    if _until_told(request, services.time_set, _sitting(request, pk, sitting)):
        messages.success(request, _("The new end holds for everybody who has a code; extra time and minutes "
                                    "given back are added."))
    return redirect("door:index", pk)


@at_the_door
@require_POST
def close(request, pk, sitting):
    """Close the bench page of a sitting."""
    found = _sitting(request, pk, sitting)
    if _tried(request, services.sitting_close, sitting=found, who=request.user):
        messages.success(request, _("The bench page is closed for “%(sitting)s”. What was written can be "
                                    "marked when the exam is sat.") % {"sitting": found.name})
    return redirect("door:index", pk)


def _slips(request, sitting, **how):
    slips = _until_told(request, services.codes_issue, sitting, **how)
    if not slips:
        return redirect("door:index", sitting.exam_id)
    address = request.build_absolute_uri("/bench/")
    return render(request, "grading/entry/slips.html", {
        "exam": sitting.exam, "sitting": sitting, "slips": slips, "address": address, "again": bool(how),
        "teacher": Role.TEACHER in request.roles})


def _until_told(request, service, sitting, **how):
    """As `_tried`, of a service that needs the end that was sent; None, too, where none was."""
    form = UntilForm.of(sitting, request.POST)
    if form.is_valid():
        return _tried(request, service, sitting=sitting, who=request.user, **form.cleaned_data, **how)
    messages.error(request, _("Say until when candidates may write."))
    return None


def _sitting(request, pk, sitting):
    exam = exam_or_404(request, pk)
    return get_object_or_404(Sitting.objects.select_related("exam__centre", "room"), exam=exam, pk=sitting)


def _tried(request, service, **arguments):
    """What the service answers; None and a message where it refuses."""
    try:
        return service(**arguments)
    except (ExamkitError, GradingError) as problem:
        messages.error(request, str(problem))
        return None
