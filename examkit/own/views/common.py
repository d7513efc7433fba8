"""How an entry is saved from a form: refusals beside their fields, a stale page with both versions."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from examkit.errors import ExamkitError
from examkit.own.selectors import colour_words
from examkit.own.services import own_add, own_change


def added(request, form, kind, key=""):
    """Save a new entry from a form that was sent; whether it went through."""
    return _tried(form, lambda: own_add(
        centre=request.centre, who=request.user, kind=kind, key=key, data=form.data_of_entry(),
        why=form.cleaned_data["why"]))


def changed(request, form, entry):
    """Save a changed entry from a form that was sent; whether it went through."""
    return _tried(form, lambda: own_change(
        entry=entry, who=request.user, version=form.cleaned_data["version"], data=form.data_of_entry(),
        why=form.cleaned_data["why"]))


def _tried(form, act):
    if not form.is_valid():
        return False
    try:
        act()
    except ExamkitError as problem:
        form.theirs = getattr(problem, "theirs", None)
        form.tell(problem)
        return False
    return True


def saved(request):
    """Back to what is ours, with a word that it counts now."""
    messages.success(
        request, _("Saved. It counts from now on; what was drawn before keeps what was frozen then."))
    return redirect("own:index")


def form_page(request, kb, form, heading, *, entry=None, again=None, template="form", **more):
    """The page of a form; a stale one shows, field by field, what is stored now and what was typed.

    `again(data, entry)` makes the same form over the version that is stored.
    """
    theirs, rows = form.theirs, []
    if theirs:
        stored = again(None, theirs)
        rows = [(field.label, stored[field.name].value(), field.value()) for field in form.visible_fields()
                if field.name in stored.fields and str(stored[field.name].value()) != str(field.value())]
        data = request.POST.copy()
        data["version"] = theirs.version
        problems = form.non_field_errors()
        form = again(data, theirs)
        form.is_valid()
        for problem in problems:
            form.add_error(None, problem)
    asked = {name.rpartition("-")[2] for name in form.fields}
    context = {"form": form, "heading": heading, "entry": entry, "theirs": rows, "kb": kb,
               "colours": colour_words(kb) if asked & {"colour", "colours"} else (),
               "statements": sorted(kb.statements.items()) if "statements" in asked else ()} | more
    status = 409 if theirs else 200
    name = template if "/" in template else f"examkit/own/{template}.html"  # or one of another part
    return render(request, name, context, status=status)
