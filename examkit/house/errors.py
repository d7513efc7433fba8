"""Error pages: each says what happened and the way on, and shows no internals."""

from django.conf import settings
from django.shortcuts import render

from examkit.resume import OPENED_BY, typed_fields


def forbidden(request, exception=None):
    """403: signed in, but this is not for your role."""
    return render(request, "403.html", status=403)


def not_found(request, exception=None):
    """404: no such page, or it belongs to another centre."""
    return render(request, "404.html", status=404)


def broken(request):
    """500: our fault; no context processors, since they may be what broke. What was typed is shown."""
    return render(None, "500.html", {"fields": typed_fields(request.POST)}, status=500)


def not_readable(request, exception=None):
    """400: larger than any form here, or not what a browser sends."""
    return render(None, "400.html", status=400)


class NotAllowedPage:
    """Middleware: a 405 has an empty body, which a browser shows as a broken site; it gets a page."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if response.status_code != 405 or request.method == "HEAD":
            return response
        page = render(request, "405.html", status=405)
        page["Allow"] = response["Allow"]
        return page


class SamePerson:
    """Middleware: a form that one person opened is never saved in the name of another who signed in since."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        """Compare who opened the page (house.js says so) with who is signed in now."""
        if request.method != "POST" or not request.user.is_authenticated:
            return None
        opened_by = request.headers.get("X-Opened-By") or request.POST.get(OPENED_BY)
        return csrf_failed(request) if opened_by and opened_by != str(request.user.pk) else None


def csrf_failed(request, reason=""):
    """403: the form was older than the sign-in; what was typed is shown, so that nothing is lost."""
    return render(request, "house/form_expired.html", {"fields": typed_fields(request.POST)}, status=403)


def locked_out(request, original_response=None, credentials=None):
    """429: too many wrong passwords."""
    minutes = int(settings.AXES_COOLOFF_TIME.total_seconds() // 60)
    return render(request, "house/locked_out.html", {"minutes": minutes}, status=429)
