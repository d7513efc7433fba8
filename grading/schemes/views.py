"""Pages of mark schemes: copied and edited as an entry of our own; another one for an exam, seen first."""

from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRefresh

from examkit.access import allow, exam_or_404
from examkit.errors import ExamkitError
from examkit.knowledge import knowledge
from examkit.models import Own, OwnKind, Role
from examkit.own.views.common import form_page, saved
from grading.errors import GradingError, NotPossible
from grading.schemes import foresight, selectors, services, tasks
from grading.schemes.forms import CopyForm, MarkSchemeForm

teacher_only = allow(Role.TEACHER)


@teacher_only
@require_http_methods(["GET", "HEAD", "POST"])
def copy(request):
    """Copy a mark scheme under a title of one's own."""
    kb = knowledge(request.centre)
    form = CopyForm(request.POST or None, kb=kb)
    if request.method == "POST" and form.is_valid():
        each = form.cleaned_data
        try:
            entry = services.mark_scheme_copy(centre=request.centre, who=request.user, key=each["marking"],
                                              title=each["title"], why=each["why"])
        except (ExamkitError, GradingError) as problem:
            form.tell(problem)
        else:
            messages.success(request, _("Copied. Change what your school marks otherwise."))
            return redirect("mark-schemes:change", entry.pk)
    return render(request, "grading/schemes/copy.html", {"form": form})


@teacher_only
@require_http_methods(["GET", "HEAD", "POST"])
def change(request, entry):
    """Edit a mark scheme; one that cannot be used is refused with all that is wrong."""
    found = get_object_or_404(Own.objects.select_related("centre"), pk=entry, centre=request.centre,
                              kind=OwnKind.MARKING, active=True)
    kb = knowledge(request.centre)

    def form_over(data, now):
        return MarkSchemeForm(data, kb=kb, entry=now)

    form = form_over(request.POST or None, found)
    if request.method == "POST" and form.is_valid() and _changed(request, form, found):
        return saved(request)
    return form_page(request, kb, form, found.data["marking"]["title"], entry=found, again=form_over,
                     template="grading/schemes/form.html")


def _changed(request, form, entry):
    cleaned = form.cleaned_data
    try:
        services.mark_scheme_change(entry=entry, who=request.user, version=cleaned["version"],
                                    data=form.data_of_entry(), why=cleaned["why"])
    except (ExamkitError, GradingError) as problem:
        form.theirs = getattr(problem, "theirs", None)
        form.tell(problem)
        return False
    return True


class ApplyForm(forms.Form):
    """Why an exam gets another mark scheme, and which effects were looked at."""

    to = forms.CharField(widget=forms.HiddenInput, max_length=60)
    seen = forms.CharField(widget=forms.HiddenInput, max_length=64)
    reason = forms.CharField(label=_lazy("Reason"), max_length=500)


@teacher_only
@require_GET
def exam(request, pk):
    """Choose another mark scheme for an exam, and see whose marks would change."""
    found, key = exam_or_404(request, pk), request.GET.get("to", "")
    context = _context(found, key)
    if key:
        try:
            services.refuse(found, key)
            return _effects(request, found, key, context)
        except (ExamkitError, GradingError) as problem:
            messages.error(request, str(problem))
            return redirect("remarking:exam", pk)
    return render(request, "grading/schemes/exam.html", context)


def _effects(request, exam, key, context):
    """The effects, or how far their making is where there are many records."""
    seen = foresight.sights(exam, key)
    if foresight.unknown(seen):
        if task := _read(exam, key, len(foresight.unknown(seen)), request.GET.get("task", "")):
            again = urlencode({"to": key, "task": task})
            return redirect(f"{reverse('remarking:exam', args=[exam.pk])}?{again}")
        seen = foresight.sights(exam, key)
    if left := len(foresight.unknown(seen)):
        return render(request, "grading/schemes/exam_waiting.html", context | {
            "records": len(seen), "read": len(seen) - left, "pause_s": 2 if tasks.by_worker() else 0})
    if request.htmx:
        return HttpResponseClientRefresh()
    return render(request, "grading/schemes/exam.html", context | _shown(exam, key, seen))


def _read(exam, key, left, task):
    """See that the records that are left are read; the name of a task that was started for it."""
    if left <= foresight.AT_ONCE:
        foresight.foresee(exam, key)
        return None
    if not tasks.by_worker():
        tasks.some(exam, key)
        return None
    done = tasks.is_done(exam, key, task)
    if done:
        raise NotPossible(_("Records, rules or the knowledge base changed while the records were read. Show "
                            "the effects again; if that does not help, have the worker started anew."))
    return tasks.start(exam, key) if done is None else None


@teacher_only
@require_POST
def apply(request, pk):
    """Give the exam the mark scheme whose effects were shown."""
    found, form = exam_or_404(request, pk), ApplyForm(request.POST)
    key = request.POST.get("to", "")
    if not form.is_valid():
        messages.error(request, _("Say why: the reason goes into the audit trail."))
        return redirect(f"{reverse('remarking:exam', args=[pk])}?{urlencode({'to': key})}")
    try:
        done = services.mark_scheme_apply(exam=found, key=key, seen=form.cleaned_data["seen"],
                                          reason=form.cleaned_data["reason"], who=request.user)
    except (ExamkitError, GradingError) as problem:
        messages.error(request, str(problem))
        return redirect("remarking:exam", pk)
    title = knowledge(found.centre).mark_schemes[key]["title"]
    messages.success(request, _("The exam is marked by “%(title)s” now; suggestions of %(n)d records are "
                                "made anew.") % {"title": title, "n": len(done)})
    return redirect("planning:exam", pk)


def _context(exam, key):
    titles = knowledge(exam.centre).mark_schemes
    return {"exam": exam, "schemes": selectors.mark_schemes(exam), "chosen": key,
            "now": titles.get(exam.mark_scheme, {}).get("title", exam.mark_scheme),
            "open": exam.state in services.CHANGEABLE}


def _shown(exam, key, seen):
    found = selectors.effects(exam, key, seen)
    digest = selectors.digest(exam, key, found)
    first = sorted(found, key=lambda effect: not effect.changes)  # those that change, then the others
    return {"effects": first, "changed": sum(effect.changes for effect in found),
            "again": sum(effect.lost for effect in found), "shown": True,
            "form": ApplyForm(initial={"to": key, "seen": digest})}
