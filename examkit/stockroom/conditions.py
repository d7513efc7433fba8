"""What the stock room asks for before an exam is prepared (settings.EXAM_CONDITIONS names this)."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.models import State
from examkit.stockroom.selectors import SIGN_OFF, stock_list
from examkit.stockroom.trials.selectors import missing_trials


def before_prepared(exam):
    """The sentences that stand between an exam and its being prepared, the sign-off among them."""
    missing = before_sign_off(exam)
    if not missing and not signed_off(exam):
        missing.append(_("The stock room has not signed off yet."))
    return missing


def signed_off(exam):
    """Whether the stock room has signed off the exam as it is now: a later step back asks for it again."""
    return exam.preparations.filter(item=SIGN_OFF, done=True, note=stamp(exam)).exists()


def stamp(exam):
    """What a sign-off is bound to: every move of the exam changes its version."""
    return str(exam.version)


def before_sign_off(exam):
    """What the stock room has to do before it can sign off, as sentences."""
    if exam.state != State.DRAWN:
        return []
    stock = stock_list(exam)
    if stock is None:
        return [_("There are no samples: the draw is not made.")]
    return [*_open_lines(stock.still_open), *missing_trials(exam)]


def _open_lines(left):
    if left:
        yield ngettext(
            "%(left)d line of the stock room's list is not done yet. Do it, tick it, then sign off.",
            "%(left)d lines of the stock room's list are not done yet. Do them, tick them, then sign off.",
            left) % {"left": left}
