"""Rooms of the centre, and the sittings of an exam."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow, exam_or_404
from examkit.models import Role, Room
from examkit.planning import grid, services
from examkit.planning.forms import LengthForm, RoomForm, SittingForm
from examkit.planning.selectors.gone import gone_rooms, gone_sittings, room_changes
from examkit.planning.selectors.rooms import (
    at_the_same_time,
    counted,
    grid_of,
    rooms_of,
    sealed_in,
    sittings_of,
)
from examkit.planning.views.common import attempt, reason_of


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def rooms(request):
    """The rooms of the centre, and a new one."""
    form = RoomForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if attempt(
            request, services.room_create, centre=request.centre, who=request.user, **form.cleaned_data
        ):
            messages.success(request, _("The room is made. Put in what stands where: aisles, sinks, benches "
                                        "that cannot be used."))
            return redirect(
                "planning:room", Room.objects.get(centre=request.centre, name=form.cleaned_data["name"]).pk
            )
    return render(request, "examkit/planning/rooms.html", {
        "rooms": rooms_of(request.centre), "form": form, "gone": gone_rooms(request.centre)})


TOOLS = {
    grid.BENCH: _lazy("bench"), grid.LEFT: _lazy("left-handed bench"),
    grid.CLOSED: _lazy("bench not to be used"),
    grid.SINK: _lazy("sink"), grid.CUPBOARD: _lazy("fume cupboard"), grid.AISLE: _lazy("nothing: aisle"),
}


@allow(Role.TEACHER)
@require_GET
def room(request, pk):
    """A room as a grid; what is chosen is put where one clicks."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    tool = request.GET.get("tool")
    return render(request, "examkit/planning/room.html", {
        "room": found, "rows": grid_of(found), "tools": TOOLS.items(), "counts": counted(found),
        "tool": tool if tool in TOOLS else grid.CLOSED, "gone": room_changes(found),
        "sealed": sealed_in(found)})


@allow(Role.TEACHER)
@require_POST
def place(request, pk):
    """Put what is chosen at a place of the grid."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    row, column = _place(request.POST.get("place", ""))
    tool = request.POST.get("tool", "")
    attempt(request, services.room_place, room=found, who=request.user, row=row, column=column, what=tool)
    return redirect(reverse("planning:room", args=[pk]) + "?" + urlencode({"tool": tool}))


def _place(text):
    """Row and column of "3,4"; a place that is nowhere for anything else."""
    parts = text.split(",")
    if len(parts) == 2 and all(part.isascii() and part.isdigit() for part in parts):
        return int(parts[0]), int(parts[1])
    return -1, -1


@allow(Role.TEACHER)
@require_POST
def separate(request, pk):
    """Keep a room for candidates who need a separate room, or open it to all."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    attempt(request, services.room_separate, room=found, who=request.user,
            separate=bool(request.POST.get("separate")))
    return redirect("planning:room", pk)


@allow(Role.TEACHER)
@require_POST
def room_delete(request, pk):
    """Delete a room that no sitting uses."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    if attempt(request, services.room_delete, room=found, who=request.user, reason=reason_of(request)):
        messages.success(request, _("The room is deleted; it can be brought back below."))
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
        "clashes": list(at_the_same_time(exam)), "gone": gone_sittings(exam)})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def sitting(request, pk, sitting):
    """Change a sitting; of one whose draw is sealed or made its length alone."""
    exam = exam_or_404(request, pk)
    found = get_object_or_404(exam.sittings, pk=sitting)
    if exam.commitment:
        return _length(request, exam, found)
    form = SittingForm(request.POST or None, exam=exam, instance=found)
    if request.method == "POST" and form.is_valid():
        if attempt(request, services.sitting_change, sitting=exam.sittings.get(pk=sitting), who=request.user,
                   **form.cleaned_data):
            messages.success(request, _("Saved."))
            return redirect("planning:sittings", pk)
    return render(
        request, "examkit/planning/sitting_form.html", {"exam": exam, "sitting": found, "form": form}
    )


def _length(request, exam, found):
    form = LengthForm(request.POST or None, initial={"minutes": found.minutes})
    if request.method == "POST" and form.is_valid() and attempt(
            request, services.sitting_length, sitting=found, who=request.user, **form.cleaned_data):
        messages.success(request, _("Saved."))
        return redirect("planning:sittings", exam.pk)
    return render(
        request, "examkit/planning/sitting_form.html", {"exam": exam, "sitting": found, "form": form})


@allow(Role.TEACHER)
@require_POST
def sitting_delete(request, pk, sitting):
    """Take a sitting out of a draft."""
    found = get_object_or_404(exam_or_404(request, pk).sittings, pk=sitting)
    if attempt(
            request, services.sitting_delete, sitting=found, who=request.user, reason=reason_of(request)):
        messages.success(request, _("The sitting is deleted; it can be brought back below."))
    return redirect("planning:sittings", pk)
