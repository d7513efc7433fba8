"""An outcome that is also accepted."""

from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from examkit.access import allow
from examkit.chemistry.formula import pretty
from examkit.chemistry.knowledge.layers import fact_at
from examkit.knowledge import knowledge
from examkit.models import OwnKind, Role
from examkit.own.forms import OutcomeForm, PlaceForm
from examkit.own.selectors import outcome_told, outcomes
from examkit.own.views.common import added, changed, form_page, saved


@allow(Role.TEACHER)
@require_GET
def outcome_where(request):
    """Choose whose outcome, and in which test."""
    form = PlaceForm(request.GET or None, kb=knowledge(request.centre))
    if request.GET and form.is_valid():
        return _on(request)
    return render(request, "examkit/own/where.html", {"form": form})


def _on(request):
    response = redirect("own:outcome-new")
    response["Location"] += f"?{request.GET.urlencode()}"
    return response


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def outcome_new(request):
    """Say what is also accepted there."""
    kb = knowledge(request.centre)
    place = PlaceForm(request.GET or None, kb=kb)
    if not request.GET or not place.is_valid():
        return redirect("own:outcome-where")
    form = OutcomeForm(request.POST or None, kb=kb, fact=place.cleaned_data["fact"])
    if request.method == "POST" and added(request, form, OwnKind.OUTCOME):
        return saved(request)
    return _page(request, kb, form)


def outcome_change(request, entry):
    """Change what is also accepted."""
    kb, data = knowledge(request.centre), entry.data
    fact = fact_at(kb, data["subject"], (data["test"], data["facet"]))
    if fact is None:  # the shipped base has changed under it
        return _gone(request, entry)

    def form_over(sent, now):
        initial = {"why": now.why, "version": now.version}
        return OutcomeForm(sent, kb=kb, fact=fact, seen=outcomes(now.data["seen"]), initial=initial)

    form = form_over(request.POST or None, entry)
    if request.method == "POST" and changed(request, form, entry):
        return saved(request)
    return _page(request, kb, form, entry=entry, again=form_over)


def _gone(request, entry):
    return render(request, "examkit/own/gone.html", {"entry": entry})


def _page(request, kb, form, **more):
    heading = _("Also accepted: %(subject)s, %(test)s") % {
        "subject": pretty(form.fact.subject), "test": form.test.title}
    now = outcome_told(form.test, form.facet.key, form.fact.seen)
    others = [outcome_told(form.test, form.facet.key, other.seen) for other in form.fact.also]
    return form_page(request, kb, form, heading, now=now, others=others, **more)
