"""What went by mistake is brought back, and what was done to a class list is undone, with a reason."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from examkit.access import allow, exam_or_404
from examkit.models import Role, Room
from examkit.planning import services
from examkit.planning.views.common import attempt, reason_of


@allow(Role.TEACHER)
@require_POST
def room(request, number):
    """Bring a deleted room back."""
    if attempt(request, services.room_back, centre=request.centre, who=request.user, number=number,
               reason=reason_of(request)):
        messages.success(request, _("The room is there again, as it was laid out."))
    return redirect("planning:rooms")


@allow(Role.TEACHER)
@require_POST
def sitting(request, pk, number):
    """Bring a deleted sitting back."""
    exam = exam_or_404(request, pk)
    if attempt(request, services.sitting_back, exam=exam, who=request.user, number=number,
               reason=reason_of(request)):
        messages.success(request, _("The sitting is there again."))
    return redirect("planning:sittings", pk)


@allow(Role.TEACHER)
@require_POST
def list_act(request, pk, number):
    """Undo an act on the class list."""
    exam = exam_or_404(request, pk)
    if attempt(request, services.list_act_undo, exam=exam, who=request.user, number=number,
               reason=reason_of(request)):
        messages.success(request, _("The class list is as it was before."))
    return redirect("planning:roster", pk)


@allow(Role.TEACHER)
@require_POST
def setting(request, pk, number):
    """Set back what was set in an exam."""
    exam = exam_or_404(request, pk)
    if attempt(request, services.setting_undo, exam=exam, who=request.user, number=number,
               reason=reason_of(request)):
        messages.success(request, _("It is as it was before."))
    return redirect("planning:exam", pk)


@allow(Role.TEACHER)
@require_POST
def place(request, pk, number):
    """Set back what was changed in a room."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    if attempt(request, services.place_undo, room=found, who=request.user, number=number,
               reason=reason_of(request)):
        messages.success(request, _("The room is as it was before."))
    return redirect("planning:room", pk)
