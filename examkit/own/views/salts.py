"""A salt of one's own."""

from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from examkit.access import allow
from examkit.knowledge import knowledge
from examkit.models import OwnKind, Role
from examkit.own.forms import SaltForm
from examkit.own.views.common import added, changed, form_page, saved


@allow(Role.TEACHER)
@require_http_methods(["GET", "POST"])
def salt_new(request):
    """Add a salt."""
    kb = knowledge(request.centre)
    form = SaltForm(request.POST or None, kb=kb)
    if request.method == "POST" and form.is_valid() and added(request, form, OwnKind.SALT, form.key()):
        return saved(request)
    return form_page(request, kb, form, _("A salt of our own"))


def salt_change(request, entry):
    """Change a salt; its formula stays."""
    kb = knowledge(request.centre)

    def form_over(data, now):
        return SaltForm(data, kb=kb, fixed=True, initial=SaltForm.initial_of(now))

    form = form_over(request.POST or None, entry)
    if request.method == "POST" and changed(request, form, entry):
        return saved(request)
    return form_page(request, kb, form, entry.data["salt"]["name"], entry=entry, again=form_over)
