"""Sign-in and sign-out, the first page, the audit trail."""

from django.contrib import messages
from django.contrib.auth import views as auth
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse_lazy
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_POST

from examkit import audit
from examkit.access import CENTRE_KEY, allow, public, signed_in
from examkit.house import trail
from examkit.house.selectors import new_exam_url, next_steps
from examkit.models import Centre, Role
from examkit.resume import kept_form


class SignIn(auth.LoginView):
    """The sign-in page; a form that arrived after the session had ended is offered again afterwards."""

    template_name = "house/sign_in.html"
    redirect_authenticated_user = True

    def form_valid(self, form):
        """Sign in; then on to the page asked for, or to the form that was kept."""
        response = super().form_valid(form)
        kept = kept_form(self.request.POST)
        return render(self.request, "house/send_again.html", {"kept": kept}) if kept.path else response

    def get_context_data(self, **more):
        """A wrong password must not lose what was kept."""
        return super().get_context_data(kept=kept_form(self.request.POST), **more)


class Password(auth.PasswordChangeView):
    """Change one's own password."""

    template_name = "house/password.html"
    success_url = reverse_lazy("home")

    def form_valid(self, form):
        """Say that it was done."""
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)


sign_in = public(SignIn.as_view())
sign_out = public(auth.LogoutView.as_view())
password = signed_in(Password.as_view())


@signed_in
@require_GET
def home(request):
    """The next thing to do, exam by exam."""
    steps = next_steps(request.centre, request.roles, request.user)
    return render(request, "house/home.html", {"steps": steps, "new_exam": new_exam_url(request.roles)})


@signed_in
@require_POST
def choose_centre(request):
    """Work in another of one's own centres from here on."""
    chosen = request.POST.get("centre", "")
    centre = get_object_or_404(Centre.objects.filter(memberships__user=request.user).distinct(),
                               pk=int(chosen) if chosen.isdecimal() and len(chosen) < 10 else 0)
    request.session[CENTRE_KEY] = centre.pk
    return redirect("home")


@allow(Role.TEACHER)
@require_GET
def audit_trail(request):
    """The trail of this centre, newest first, and whether its chain holds."""
    asked = trail.Asked.of(request.GET)
    page = Paginator(trail.entries(request.centre, asked), 100).get_page(request.GET.get("page"))
    printed = request.GET.get("printed", "").strip().lower()[:64]
    return render(request, "house/audit.html", {
        "page": page,
        "rows": [(entry, trail.told(entry.detail)) for entry in page],
        "asked": asked,
        "choices": trail.choices(request.centre),
        "problems": audit.verify(request.centre, printed=printed or None),
        "head": audit.head(request.centre),
        "printed": printed,
    })
