"""What the examiner's views share."""

from functools import wraps

from django.contrib import messages
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from examkit.access import allow
from examkit.errors import ExamkitError
from examkit.models import Role, State
from grading.errors import GradingError
from grading.marking import selectors
from grading.marking.blind import hidden_codes

examiner_only = allow(Role.EXAMINER)
page_methods = require_http_methods(["GET", "HEAD", "POST"])


def hides_first_marks(view):
    """Whoever marks the record a second time is led to that page, until they may see its first marks."""

    @wraps(view)
    def hiding(request, pk, code, **named):
        if code not in hidden_codes(pk, request.user):
            return view(request, pk, code, **named)
        messages.info(
            request,
            _("You mark this record a second time: its first marks are hidden from you until "
              "you have finished."),
        )
        return redirect("second:marks", pk, code)

    return hiding


def is_open(sample, record):
    """Whether the record can be changed now."""
    return sample.exam.state == State.SAT and not (record and record.finished)


def with_reason(request, pk, code, service, on):
    """A step that needs a reason; what stands in its way is said on the page it came from."""
    sample = selectors.sample_or_404(request, pk, code)
    tried(
        request,
        service,
        sample=sample,
        reason=request.POST.get("reason", ""),
        who=request.user,
        otherwise=True,
    )
    return redirect(on, pk, code)


def tried(request, service, *, otherwise=None, **arguments):
    """What the service answers (`otherwise` for nothing); None and a message where it refuses."""
    try:
        answer = service(**arguments)
    except (ExamkitError, GradingError) as problem:
        messages.error(request, str(problem))
        return None
    return otherwise if answer is None else answer


def told_how_many(request, failed):
    """Say whether a whole record was saved, with how many of its lines were not; True where all were."""
    if not failed:
        messages.success(request, _("The record is saved."))
        return True
    messages.error(request, ngettext(
        "%(count)d line is not saved: see what stands beside it. The others are.",
        "%(count)d lines are not saved: see what stands beside them. The others are.",
        failed) % {"count": failed})
    return False
