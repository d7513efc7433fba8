"""The candidate's pages at the bench: in by two codes, the record line by line, handing in."""

from django.contrib import messages
from django.http import Http404, JsonResponse
from django.middleware.csrf import rotate_token
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from examkit.access import BENCH_KEY, at_the_bench, public
from examkit.knowledge import knowledge
from examkit.resume import kept_form, typed_fields
from grading.entry import rows
from grading.entry.bench import guessing, selectors, writing
from grading.entry.bench.codes import NoSuchCode, slot
from grading.entry.bench.forms import DoorForm
from grading.entry.bench.services import code_redeem
from grading.errors import GradingError
from grading.marking.parts import RESULT

CONFLICT, CLOSED, UNREADABLE, TOO_OFTEN = 409, 410, 422, 429


@public
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request):
    """The door: sample code and one-time code."""
    form = DoorForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            return _let_in(request, form)
        except NoSuchCode as problem:
            form.add_error(None, str(problem))
        except guessing.TooOften as problem:
            form.add_error(None, str(problem))
            return _door(request, form, TOO_OFTEN)
    return _door(request, form, UNREADABLE if form.is_bound else 200)


def _door(request, form, status):
    return render(request, "grading/entry/sign_in.html",
                  {"form": form, "kept": kept_form(request.POST), "staff": request.user.is_authenticated},
                  status=status)


def _let_in(request, form):
    """A fresh session that knows the code and nothing of whoever used this device before."""
    asked = form.cleaned_data
    with guessing.counted(request, asked["sample"]):
        code = code_redeem(sample_code=asked["sample"], one_time=asked["password"])
    kept = kept_form(request.POST)
    request.session.flush()
    request.session[BENCH_KEY] = code.pk
    rotate_token(request)
    if kept.path:
        return render(request, "grading/entry/send_again.html", {"kept": kept})
    return redirect("bench:page")


@at_the_bench
@require_http_methods(["GET", "HEAD", "POST"])
def page(request):
    """The record of the candidate's own sample; without JavaScript it is saved as a whole."""
    code = selectors.code_of(request)
    closed = selectors.why_closed(code)
    if closed:
        return _closed_page(request, code, closed)
    lines = selectors.bench_lines(code.sample)
    if request.method != "POST":
        return _page(request, code, lines)
    for line in lines:
        _save(request, code, line, only_if_differs=True)
    if any(line.problem for line in lines):
        closed = selectors.why_closed(selectors.code_of(request))
        return _closed_page(request, code, closed) if closed else _page(request, code, lines, CONFLICT)
    if "hand-in" in request.POST:
        return _look_through(request, code)
    messages.success(request, _("Everything that you wrote is saved."))
    return redirect("bench:page")


@at_the_bench
@require_POST
def line(request, test):
    """Save one line, for a script: what is stored then, or why it is not."""
    code = selectors.code_of(request)
    closed = selectors.why_closed(code)
    if closed:
        return JsonResponse({"closed": closed}, status=CLOSED)
    found = next((each for each in selectors.bench_lines(code.sample) if each.test == test), None)
    if found is None:
        raise Http404(test)
    _save(request, code, found)
    if found.theirs is not None:
        return JsonResponse({"theirs": rows.theirs_of(found), "problem": found.problem}, status=CONFLICT)
    if found.problem:
        return JsonResponse({"problem": found.problem}, status=UNREADABLE)
    return JsonResponse({"version": found.version, "until": selectors.until_told(code)})


@at_the_bench
@require_GET
def state(request):
    """Whether one can still write and until when, for a script."""
    code = selectors.code_of(request)
    closed = selectors.why_closed(code)
    if closed:
        return JsonResponse({"closed": closed}, status=CLOSED)
    return JsonResponse({"until": selectors.until_told(code)})


@public
@require_GET
def offline(request):
    """What a reload without a network shows; kept by the browser beforehand, it holds nothing of a record."""
    return render(request, "grading/entry/offline.html")


@public
@require_GET
def worker(request):
    """The script that shows it; it stands here since a script looks after what is beside it only."""
    return render(request, "grading/entry/worker.js", content_type="text/javascript")


@at_the_bench
@require_POST
def hand_in(request):
    """Close the page for oneself; the browser forgets the code."""
    code = selectors.code_of(request)
    if code is None:
        return redirect("bench:page")
    try:
        writing.bench_hand_in(code=code)
    except GradingError as problem:
        messages.error(request, str(problem))
        return redirect("bench:page")
    request.session.flush()
    messages.success(request, _("Your record %(code)s is handed in. You can leave this page.") % {
        "code": code.sample.code})
    return redirect("bench:sign-in")


def _look_through(request, code):
    lines = selectors.bench_lines(code.sample)
    return render(request, "grading/entry/hand_in.html", {
        "code": code, "lines": lines, "slot": slot(code.sample),
        "blank": sum(not line.filled for line in lines)})


def _save(request, code, line, *, only_if_differs=False):
    kb, scheme = knowledge(code.sample.exam.centre), code.sample.exam.scheme
    form = rows.form_of(line, request.POST, kb=kb, scheme=scheme)
    if only_if_differs and not rows.differs(line, form):
        return
    if line.test == RESULT:
        rows.save_line(line, form, lambda words: writing.bench_result_save(code=code, **words))
    else:
        rows.save_line(line, form, lambda words: writing.bench_line_save(code=code, test=line.test, **words))


def _page(request, code, lines, status=200):
    return render(request, "grading/entry/bench.html", {
        "code": code, "sample": code.sample, "exam": code.sample.exam, "slot": slot(code.sample),
        "lines": lines[:-1], "result": lines[-1], "failed": sum(bool(line.problem) for line in lines),
        "stored": {line.test: line.as_json() for line in lines}, "until": selectors.until_told(code),
    }, status=status)


def _typed(request, code):
    """What was sent and does not stand in the record, under the names of its tests."""
    lines = {line.test: line for line in selectors.bench_lines(code.sample)} if code else {}
    for name, value in typed_fields(request.POST):
        test, _dash, part = name.rpartition("-")
        line = lines.get(test)
        stored = {"observation": line.words, "inference": line.inference}.get(part) if line else ""
        if part in ("observation", "inference") and value.strip() and value.replace("\r\n", "\n") != stored:
            yield f"{line.title if line and line.title else test}, {part}", value


def _closed_page(request, code, closed):
    """Nothing can be saved any more; what was sent is shown, so that it can be copied onto paper."""
    return render(request, "grading/entry/closed.html", {
        "closed": closed, "fields": list(_typed(request, code)), "code": code,
        "slot": slot(code.sample) if code else ""}, status=CLOSED)
