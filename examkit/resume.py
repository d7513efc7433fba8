"""What somebody typed outlives a session that ended: it is kept in the sign-in page and sent again afterwards."""

from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

DROPPED = ("csrfmiddlewaretoken", "password", "kept_path", "username")


def typed_fields(post):
    """The names and values of a sent form, in order, without tokens and passwords."""
    return [(name, value) for name in post if name not in DROPPED for value in post.getlist(name)]


def kept_fields(post):
    """The fields that the sign-in page carried along (their names start with `kept:`)."""
    return [(name.removeprefix("kept:"), value) for name in post if name.startswith("kept:")
            for value in post.getlist(name)]


def safe_path(request, path):
    """The path where it lies on this site, else none: nobody is sent elsewhere by a forged form."""
    own = url_has_allowed_host_and_scheme(path, allowed_hosts=None) and path.startswith("/")
    return path if own else ""


def ask_to_sign_in_again(request):
    """The page for a form that came after the session had ended: status 401, with all that was typed."""
    context = {"path": request.get_full_path(), "fields": typed_fields(request.POST), "files": list(request.FILES)}
    return render(request, "house/sign_in_again.html", context, status=401)
