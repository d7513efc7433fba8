"""A reagent in another strength or make-up."""

from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from examkit.access import allow
from examkit.knowledge import knowledge
from examkit.models import Own, OwnKind, Role
from examkit.own.forms import ReagentForm
from examkit.own.forms.reagent import initial_of
from examkit.own.selectors import strength_told
from examkit.own.views.common import added, changed, form_page, saved


@allow(Role.TEACHER)
@require_GET
def reagents(request):
    """All reagents, to choose the one whose strength differs."""
    shipped, ours = knowledge(), knowledge(request.centre)
    rows = [(reagent, strength_told(reagent), ours.reagents[reagent.key] is not reagent)
            for reagent in sorted(shipped.reagents.values(), key=lambda reagent: reagent.name.casefold())]
    return render(request, "examkit/own/reagents.html", {"rows": rows})


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def reagent_new(request, key):
    """Another strength of a shipped reagent; one that is ours already is changed."""
    shipped = _shipped(key)
    entry = Own.objects.filter(centre=request.centre, kind=OwnKind.REAGENT, key=key, active=True).first()
    if entry:
        return redirect("own:change", entry.pk)
    kb = knowledge(request.centre)
    form = ReagentForm(request.POST or None, kb=kb, shipped=shipped, initial=initial_of(shipped))
    if request.method == "POST" and added(request, form, OwnKind.REAGENT, key):
        return saved(request)
    return form_page(request, kb, form, shipped.name, shipped=shipped, strength=strength_told(shipped))


def reagent_change(request, entry):
    """Change our strength of a reagent."""
    kb, shipped = knowledge(request.centre), _shipped(entry.key)

    def form_over(data, now):
        initial = initial_of(shipped, now.why, now.version) | _fields(now)
        return ReagentForm(data, kb=kb, shipped=shipped, initial=initial)

    form = form_over(request.POST or None, entry)
    if request.method == "POST" and changed(request, form, entry):
        return saved(request)
    return form_page(request, kb, form, shipped.name, entry=entry, again=form_over, shipped=shipped,
                     strength=strength_told(shipped))


def _fields(entry):
    """What a stored entry says otherwise, as fields of the form."""
    ours = dict(entry.data["reagent"])
    made = ours.pop("made_from", None)
    hazards = ours.pop("hazards", {})
    if made is not None:
        kind = next((kind for kind in ("stock", "solid") if kind in made), "")
        ours["make"] = f"{kind}:{made[kind]}" if kind else "bought"
    return ours | hazards


def _shipped(key):
    found = knowledge().reagents.get(key)
    if found is None:
        raise Http404(_("The knowledge base does not know %(key)s.") % {"key": key})
    return found
