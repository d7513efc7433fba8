"""Who may what: every view carries a rule, and a view without one is refused."""

from dataclasses import dataclass
from functools import wraps

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import ImproperlyConfigured, PermissionDenied
from django.http import HttpResponseNotAllowed
from django.shortcuts import get_object_or_404, redirect
from django.utils.cache import patch_cache_control

from examkit.models import Exam, Membership
from examkit.resume import ask_to_sign_in_again

METHODS = ("GET", "HEAD", "POST")
CENTRE_KEY = "centre"  # in the session: the centre a person with several has chosen
BENCH_KEY = "bench"  # in the session: the one-time code that a candidate came with; nobody is signed in then
BENCH_SIGN_IN, BENCH_AGAIN = "bench:sign-in", "grading/entry/sign_in_again.html"


@dataclass(frozen=True)
class Rule:
    """Who may open a view: anyone, anyone signed in, those with one of the roles in their centre, or a
    candidate at the bench."""

    everyone: bool = False
    roles: frozenset = frozenset()
    bench: bool = False

    def admits(self, *, signed_in, roles, bench=False):
        """Whether the rule lets this person in; `bench` says that they came with a one-time code.

        >>> Rule(roles=frozenset({"teacher"})).admits(signed_in=True, roles={"examiner"})
        False
        """
        if self.bench:
            return bench and not signed_in
        return self.everyone or (signed_in and (not self.roles or bool(self.roles & set(roles))))


def public(view):
    """Anyone may open this view, signed in or not."""
    return _ruled(view, Rule(everyone=True))


def signed_in(view):
    """Anyone who is signed in may open this view."""
    return _ruled(view, Rule())


def allow(*roles):
    """Only those with one of these roles in their present centre may open the view."""
    if not roles:
        raise ImproperlyConfigured("allow() needs at least one role; for everyone signed in use @signed_in.")
    rule = Rule(roles=frozenset(str(role) for role in roles))
    return lambda view: _ruled(view, rule)


def at_the_bench(view):
    """Only a candidate who came with a one-time code may open this view, and nobody who is signed in."""
    return _ruled(view, Rule(bench=True))


def exam_or_404(request, pk):
    """The exam with this key, if it belongs to the centre of the person who asks."""
    return get_object_or_404(Exam, pk=pk, centre=request.centre)


def _ruled(view, rule):
    @wraps(view)
    def guarded(request, *args, **kwargs):
        known = request.user.is_authenticated
        roles = () if rule.everyone else request.roles
        if rule.admits(signed_in=known, roles=roles, bench=BENCH_KEY in request.session):
            return view(request, *args, **kwargs)
        if known:
            raise PermissionDenied
        return _to_sign_in(request, rule)

    guarded.rule = rule
    return guarded


def _to_sign_in(request, rule):
    """A page that was asked for is shown after signing in; what was sent is kept and sent again."""
    if rule.bench:
        reading = request.method in ("GET", "HEAD")
        return redirect(BENCH_SIGN_IN) if reading else ask_to_sign_in_again(request, BENCH_AGAIN)
    if request.method in ("GET", "HEAD") and not request.htmx:
        return redirect_to_login(request.get_full_path())
    return ask_to_sign_in_again(request)


class AccessMiddleware:
    """Gives each request its centre and roles, refuses views without a rule, lets no page be kept in a cache.

    Keys, names and marks stand on most pages: what a browser or proxy keeps, the next person at it reads.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.centres = centres_of(request.user) if request.user.is_authenticated else {}
        request.centre, request.roles = _place(request)
        response = self.get_response(request)
        patch_cache_control(response, private=True, no_store=True)
        return response

    def process_view(self, request, view, args, kwargs):
        """No rule, no entry: forgetting one must never open a page. No page knows another method."""
        if not hasattr(view, "rule"):
            raise ImproperlyConfigured(f"{view.__module__}.{view.__qualname__} has no rule.")
        return None if request.method in METHODS else HttpResponseNotAllowed(METHODS)


def centres_of(user):
    """The centres a person belongs to, by name, each with the set of roles there."""
    centres = {}
    for membership in Membership.objects.filter(user=user).select_related("centre").order_by("centre__name"):
        centres.setdefault(membership.centre, set()).add(membership.role)
    return centres


def _place(request):
    """The centre chosen in this session where the person belongs to it, else their first; and the roles."""
    chosen = request.session.get(CENTRE_KEY) if request.centres else None
    centre = next((c for c in request.centres if c.pk == chosen), next(iter(request.centres), None))
    return centre, frozenset(request.centres.get(centre, ()))
