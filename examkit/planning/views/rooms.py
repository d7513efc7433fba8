"""Rooms of the centre, and the sittings of an exam."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow, exam_or_404
from examkit.models import Bench, Role, Room
from examkit.planning import services
from examkit.planning.forms import RoomForm, SittingForm
from examkit.planning.selectors.rooms import at_the_same_time, bench_rows, rooms_of, sittings_of
from examkit.planning.views.common import attempt


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def rooms(request):
    """The rooms of the centre, and a new one."""
    form = RoomForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if attempt(
            request, services.room_create, centre=request.centre, who=request.user, **form.cleaned_data
        ):
            messages.success(request, _("The room is made. Close benches that cannot be used."))
            return redirect(
                "planning:room", Room.objects.get(centre=request.centre, name=form.cleaned_data["name"]).pk
            )
    return render(request, "examkit/planning/rooms.html", {"rooms": rooms_of(request.centre), "form": form})


@allow(Role.TEACHER)
@require_GET
def room(request, pk):
    """A room as a plan of benches; each can be closed and opened."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    return render(request, "examkit/planning/room.html", {"room": found, "rows": bench_rows(found)})


@allow(Role.TEACHER)
@require_POST
def bench(request, pk, bench):
    """Close or open a bench."""
    found = get_object_or_404(Bench, pk=bench, room=pk, room__centre=request.centre)
    attempt(request, services.bench_toggle, bench=found, who=request.user)
    return redirect("planning:room", pk)


@allow(Role.TEACHER)
@require_POST
def room_delete(request, pk):
    """Delete a room that no sitting uses."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    if attempt(request, services.room_delete, room=found, who=request.user):
        messages.success(request, _("The room is deleted."))
        return redirect("planning:rooms")
    return redirect("planning:room", pk)


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def sittings(request, pk):
    """The sittings of an exam, and a new one."""
    exam = exam_or_404(request, pk)
    form = SittingForm(request.POST or None, exam=exam)
    if request.method == "POST" and form.is_valid():
        if attempt(request, services.sitting_add, exam=exam, who=request.user, **form.cleaned_data):
            messages.success(request, _("The sitting is added."))
            return redirect("planning:sittings", pk)
    return render(request, "examkit/planning/sittings.html", {
        "exam": exam, "sittings": sittings_of(exam), "form": form, "rooms": rooms_of(exam.centre),
        "clashes": list(at_the_same_time(exam))})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def sitting(request, pk, sitting):
    """Change a sitting."""
    exam = exam_or_404(request, pk)
    found = get_object_or_404(exam.sittings, pk=sitting)
    form = SittingForm(request.POST or None, exam=exam, instance=found)
    if request.method == "POST" and form.is_valid():
        if attempt(request, services.sitting_change, sitting=exam.sittings.get(pk=sitting), who=request.user,
                   **form.cleaned_data):
            messages.success(request, _("Saved."))
            return redirect("planning:sittings", pk)
    return render(
        request, "examkit/planning/sitting_form.html", {"exam": exam, "sitting": found, "form": form}
    )


@allow(Role.TEACHER)
@require_POST
def sitting_delete(request, pk, sitting):
    """Take a sitting out of a draft."""
    found = get_object_or_404(exam_or_404(request, pk).sittings, pk=sitting)
    if attempt(request, services.sitting_delete, sitting=found, who=request.user):
        messages.success(request, _("The sitting is deleted."))
    return redirect("planning:sittings", pk)
