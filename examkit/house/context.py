"""What every page knows: the centre, the person's roles there, and where they may go."""

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from examkit.models import Role

NAVIGATION = (
    ("home", _("Today"), None),
    ("planning:exams", _("Exams"), {Role.TEACHER}),
    ("lookup:index", _("Chemistry"), None),
    ("own:index", _("Our own"), {Role.TEACHER}),
    ("audit", _("Audit trail"), {Role.TEACHER}),
)


def house(request):
    """The centre, the roles, and the navigation of this person."""
    roles = getattr(request, "roles", frozenset())
    centre = getattr(request, "centre", None)
    return {"centre": centre, "roles": roles, "navigation": list(_links(request, roles))}


def _links(request, roles):
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return
    for name, text, needed in NAVIGATION:
        if needed is None or needed & roles:
            url = reverse(name)
            yield {"url": url, "text": text, "here": request.path == url}
