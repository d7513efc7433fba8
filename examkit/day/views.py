"""The day's pages: sittings, a room that updates, one candidate, notes and their undoing."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from examkit.access import allow, exam_or_404
from examkit.day import selectors, services
from examkit.day.forms import NoteForm
from examkit.knowledge import knowledge
from examkit.models import DayNote, Role, Sample, Sitting, State
from examkit.planning.selectors.blind import names_hidden
from examkit.planning.views.common import attempt, reason_of, sent, tell, tried

ON_THE_DAY = (Role.TEACHER, Role.INVIGILATOR)
UNCHANGED = 204  # htmx leaves the page as it is


@allow(*ON_THE_DAY)
@require_GET
def index(request, pk):
    """The sittings of an exam."""
    exam = exam_or_404(request, pk)
    return render(request, "examkit/day/index.html", {
        "exam": exam, "sittings": selectors.sittings_of(exam), "open": exam.state == State.PREPARED})


@allow(*ON_THE_DAY)
@require_GET
def room(request, pk, sitting):
    """The room of a sitting, with all that was noted."""
    return render(request, "examkit/day/room.html", _context(request, *_sitting(request, pk, sitting)))


@allow(*ON_THE_DAY)
@require_GET
def benches(request, pk, sitting):
    """The room's benches and notes alone, for a page that asks again; nothing where nothing has changed."""
    exam, found = _sitting(request, pk, sitting)
    if request.GET.get("stamp") == selectors.stamp(found):
        return HttpResponse(status=UNCHANGED)
    return render(request, "examkit/day/_room.html", _context(request, exam, found) | {"answer": True})


@allow(*ON_THE_DAY)
@require_GET
def candidate(request, pk, sitting, code):
    """One candidate: what can be noted, and what was."""
    exam, found = _sitting(request, pk, sitting)
    sample = get_object_or_404(Sample.objects.defer("salt"), sitting=found, code=code)
    kb = knowledge(exam.centre)
    tests = [(entry.test, kb.tests[entry.test].title) for entry in kb.schemes[exam.scheme].stages]
    return render(request, "examkit/day/candidate.html", {
        "exam": exam, "sitting": found, "place": selectors.place_of(sample), "tests": tests,
        "colours": kb.colours.values(), "open": exam.state == State.PREPARED, "blind": _blind(request, exam)})


@allow(*ON_THE_DAY)
@require_POST
def note(request, pk, sitting):
    """Note something, of one candidate or of all."""
    exam, found = _sitting(request, pk, sitting)
    form, sample = NoteForm(request.POST), None
    if not form.is_valid():
        said = "; ".join(str(error) for errors in form.errors.values() for error in errors)
        messages.error(request, said)
        return _back(request, exam, found)
    told = form.cleaned_data
    code = told.pop("code")
    if code:
        sample = get_object_or_404(Sample.objects.select_related("exam__centre"), sitting=found, code=code)
    if attempt(request, services.note, sitting=found, sample=sample, who=request.user, **told):
        messages.success(request, _("Noted."))
    return _back(request, exam, found)


@allow(*ON_THE_DAY)
@require_POST
def rest_present(request, pk, sitting):
    """Note that all the others are there."""
    exam, found = _sitting(request, pk, sitting)
    number, refused = tried(services.rest_present, sitting=found, who=request.user)
    tell(request, refused)
    if number:
        messages.success(request, ngettext("%(n)d candidate noted as present.",
                                           "%(n)d candidates noted as present.", number) % {"n": number})
    return _back(request, exam, found)


@allow(*ON_THE_DAY)
@require_POST
def rest_present_undo(request, pk, sitting, number):
    """Take back whole that all the others were there."""
    exam, found = _sitting(request, pk, sitting)
    if attempt(request, services.rest_present_undo, sitting=found, who=request.user, number=number,
               why=reason_of(request)):
        messages.success(request, _("Taken back; the entry is kept."))
    return _back(request, exam, found)


@allow(*ON_THE_DAY)
@require_POST
def undo(request, pk, note):
    """Take a note back, with a reason."""
    exam = exam_or_404(request, pk)
    row = get_object_or_404(DayNote.objects.select_related("sitting"), pk=note, sitting__exam=exam)
    if attempt(request, services.undo, note=row, who=request.user, why=sent(request, "why")):
        messages.success(request, _("Taken back; the entry is kept."))
    return _back(request, exam, row.sitting)


def _sitting(request, pk, sitting):
    exam, sittings = exam_or_404(request, pk), Sitting.objects.select_related("exam__centre", "room")
    return exam, get_object_or_404(sittings, exam=exam, pk=sitting)


def _context(request, exam, sitting):
    return {"exam": exam, "sitting": sitting, "map": selectors.room_map(sitting),
            "at_once": selectors.acts_at_once(sitting),
            "open": exam.state == State.PREPARED, "blind": _blind(request, exam)}


def _blind(request, exam):
    return names_hidden(exam, user=request.user, roles=request.roles)


def _back(request, exam, sitting):
    """To the candidate's page where the form was sent from there, else to the room."""
    code = sent(request, "from")
    if code and sitting.samples.filter(code=code).exists():
        return redirect("day:candidate", exam.pk, sitting.pk, code)
    return redirect("day:room", exam.pk, sitting.pk)
