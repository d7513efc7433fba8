"""What somebody typed outlives a session that ended: kept in the sign-in page, and sent again afterwards."""

from dataclasses import dataclass

from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

OPENED_BY = "opened_by"  # who was signed in when the page of a form was made
DROPPED = {OPENED_BY, "csrfmiddlewaretoken", "username", "password", "old_password", "new_password1",
           "new_password2"}
KEPT = "kept:"  # how the sign-in page names the fields that it carries along


@dataclass(frozen=True)
class KeptForm:
    """A form that was sent too late: where to, and what it held."""

    path: str
    fields: tuple[tuple[str, str], ...]


def typed_fields(post):
    """The names and values of a sent form, in order, without tokens and passwords."""
    return tuple((name, value) for name in post if name not in DROPPED for value in post.getlist(name))


def kept_form(post):
    """The form that the sign-in page carried along; its path is empty where there is none."""
    fields = tuple((name.removeprefix(KEPT), value) for name in post if name.startswith(KEPT)
                   for value in post.getlist(name))
    return KeptForm(_own_path(post.get("kept_path", "")), fields)


def ask_to_sign_in_again(request, template="house/sign_in_again.html"):
    """The page for a form that came after the session had ended: status 401, with all that was typed."""
    kept = KeptForm(request.get_full_path(), typed_fields(request.POST))
    context = {"kept": kept, "files": list(request.FILES)}
    return render(request, template, context, status=401)


def _own_path(path):
    """The path where it lies on this site, else none: nobody is sent elsewhere by a forged form."""
    return path if path.startswith("/") and url_has_allowed_host_and_scheme(path, allowed_hosts=None) else ""
