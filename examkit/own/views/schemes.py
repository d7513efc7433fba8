"""A scheme of one's own: copied, then edited in tables."""

from django.contrib import messages
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from examkit.access import allow
from examkit.errors import ExamkitError
from examkit.knowledge import knowledge
from examkit.models import OwnKind, Role
from examkit.own.forms import CopyForm, SchemeForm
from examkit.own.schemes import scheme_data
from examkit.own.services import own_add
from examkit.own.views.common import changed, form_page, saved


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def scheme_copy(request):
    """Copy a scheme under a title of one's own."""
    kb = knowledge(request.centre)
    form = CopyForm(request.POST or None, kb=kb)
    if request.method == "POST" and form.is_valid():
        each = form.cleaned_data
        data = {"scheme": scheme_data(kb.schemes[each["scheme"]]) | {"title": each["title"]}}
        try:
            entry = own_add(
                centre=request.centre, who=request.user, kind=OwnKind.SCHEME, data=data, why=each["why"])
        except ExamkitError as problem:
            form.tell(problem)
        else:
            messages.success(request, _("Copied. Change what your school does otherwise."))
            return redirect("own:change", entry.pk)
    return form_page(request, kb, form, _("A scheme of our own"), template="copy")


def scheme_change(request, entry):
    """Edit a scheme; one that cannot work is refused with what is missing."""
    kb = knowledge(request.centre)

    def form_over(data, now):
        return SchemeForm(data, kb=kb, entry=now)

    form = form_over(request.POST or None, entry)
    if request.method == "POST" and changed(request, form, entry):
        return saved(request)
    return form_page(request, kb, form, entry.data["scheme"]["title"], entry=entry, again=form_over,
                     template="scheme")
