"""What is ours: the list, and the way to change or withdraw an entry."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import allow
from examkit.knowledge import knowledge
from examkit.models import Own, OwnKind, Role
from examkit.own.selectors import rows_of, withdrawn
from examkit.own.services import own_back, own_withdraw
from examkit.own.views.outcomes import outcome_change
from examkit.own.views.reagents import reagent_change
from examkit.own.views.salts import salt_change
from examkit.own.views.schemes import scheme_change
from examkit.planning.views.common import attempt, reason_of

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
        "withdrawn": withdrawn(request.centre), "shipped": knowledge(), "ours": knowledge(request.centre),
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
    if attempt(request, own_withdraw, entry=found, who=request.user, reason=reason_of(request),
               version=_version(request)):
        messages.success(request, _("Withdrawn. What was drawn before keeps what was frozen then."))
        return redirect("own:index")
    return redirect("own:change", entry)


@allow(Role.TEACHER)
@require_POST
def back(request, entry):
    """Let a withdrawn entry count again, with a reason."""
    if attempt(request, own_back, entry=_entry(request, entry, active=False), who=request.user,
               reason=reason_of(request), version=_version(request)):
        messages.success(request, _("It counts again, as it stood."))
    return redirect("own:index")


def _version(request):
    version = request.POST.get("version", "")
    return int(version) if version.isdecimal() and len(version) < 10 else None


def _entry(request, pk, active=True):
    entries = Own.objects.select_related("centre")
    return get_object_or_404(entries, pk=pk, centre=request.centre, active=active)
