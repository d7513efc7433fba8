"""What went by mistake is brought back, and what was done to a class list is undone, with a reason."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from examkit.access import allow, exam_or_404
from examkit.models import Role, Room
from examkit.planning import services
from examkit.planning.views.common import attempt, reason_of


def _set_back(request, service, told, *page, **about):
    """Run a service that takes something back, say that it did, and show the page where it stands."""
    if attempt(request, service, who=request.user, reason=reason_of(request), **about):
        messages.success(request, told)
    return redirect(*page)


@allow(Role.TEACHER)
@require_POST
def room(request, number):
    """Bring a deleted room back."""
    return _set_back(request, services.room_back, _("The room is there again, as it was laid out."),
                     "planning:rooms", centre=request.centre, number=number)


@allow(Role.TEACHER)
@require_POST
def sitting(request, pk, number):
    """Bring a deleted sitting back."""
    return _set_back(request, services.sitting_back, _("The sitting is there again."),
                     "planning:sittings", pk, exam=exam_or_404(request, pk), number=number)


@allow(Role.TEACHER)
@require_POST
def list_act(request, pk, number):
    """Undo an act on the class list."""
    return _set_back(request, services.list_act_undo, _("The class list is as it was before."),
                     "planning:roster", pk, exam=exam_or_404(request, pk), number=number)


@allow(Role.TEACHER)
@require_POST
def setting(request, pk, number):
    """Set back what was set in an exam."""
    return _set_back(request, services.setting_undo, _("It is as it was before."),
                     "planning:exam", pk, exam=exam_or_404(request, pk), number=number)


@allow(Role.TEACHER)
@require_POST
def place(request, pk, number):
    """Set back what was changed in a room."""
    found = get_object_or_404(Room, pk=pk, centre=request.centre)
    return _set_back(request, services.place_undo, _("The room is as it was before."),
                     "planning:room", pk, room=found, number=number)
