"""What is ours: the list, and the way to change or withdraw an entry."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow
from examkit.knowledge import knowledge
from examkit.models import Own, OwnKind, Role
from examkit.own.selectors import rows_of
from examkit.own.services import own_withdraw
from examkit.own.views.outcomes import outcome_change
from examkit.own.views.reagents import reagent_change
from examkit.own.views.salts import salt_change
from examkit.own.views.schemes import scheme_change
from examkit.planning.views.common import attempt

CHANGE = {OwnKind.SALT: salt_change, OwnKind.REAGENT: reagent_change, OwnKind.OUTCOME: outcome_change,
          OwnKind.SCHEME: scheme_change}


@allow(Role.TEACHER)
@require_GET
def index(request):
    """What is ours, by kind, and the two editions."""
    rows = rows_of(request.centre)
    return render(request, "examkit/own/index.html", {
        "salts": rows[OwnKind.SALT], "reagents": rows[OwnKind.REAGENT], "outcomes": rows[OwnKind.OUTCOME],
        "schemes": rows[OwnKind.SCHEME], "markings": rows[OwnKind.MARKING],
        "shipped": knowledge(), "ours": knowledge(request.centre),
    })


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def change(request, entry):
    """Change an entry with the form of its kind; a mark scheme is changed where marks are known."""
    found = _entry(request, entry)
    if found.kind == OwnKind.MARKING:
        return redirect("mark-schemes:change", entry)
    return CHANGE[OwnKind(found.kind)](request, found)


@allow(Role.TEACHER)
@require_POST
def withdraw(request, entry):
    """Take an entry out of our base, with a reason."""
    found = _entry(request, entry)
    version = request.POST.get("version", "")
    if attempt(request, own_withdraw, entry=found, who=request.user, reason=request.POST.get("reason", ""),
               version=int(version) if version.isdecimal() else None):
        messages.success(request, _("Withdrawn. What was drawn before keeps what was frozen then."))
        return redirect("own:index")
    return redirect("own:change", entry)


def _entry(request, pk):
    return get_object_or_404(Own.objects.select_related("centre"), pk=pk, centre=request.centre, active=True)
