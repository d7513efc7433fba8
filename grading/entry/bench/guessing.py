"""Wrong one-time codes are counted as wrong passwords are: by sample code and place, stopped after a few."""

from contextlib import contextmanager

from axes.handlers.proxy import AxesProxyHandler
from django.conf import settings
from django.contrib.auth.signals import user_login_failed
from django.utils.translation import gettext as _

from grading.entry.bench.codes import NoSuchCode
from grading.entry.bench.services import counted_as
from grading.errors import GradingError


class TooOften(GradingError):
    """Too many wrong codes for this sample from this place."""

    def __init__(self):
        minutes = int(settings.AXES_COOLOFF_TIME.total_seconds() // 60)
        super().__init__(_("Too many wrong codes. Ask the invigilator for a new one, or wait %(minutes)d "
                           "minutes.") % {"minutes": minutes})


@contextmanager
def counted(request, sample_code):
    """Let a code be tried: TooOften where it was tried too often; NoSuchCode counts as one more wrong try."""
    credentials = {"username": counted_as(sample_code)}
    if not AxesProxyHandler.is_allowed(request, credentials):
        raise TooOften
    try:
        yield
    except NoSuchCode:
        user_login_failed.send(sender=__name__, credentials=credentials, request=request)
        if getattr(request, "axes_locked_out", False):
            request.axes_locked_out = False  # the page of this door says it, not the one for passwords
            raise TooOften from None
        raise
