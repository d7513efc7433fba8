"""What the stock room asks for before an exam is prepared (settings.EXAM_CONDITIONS names this)."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.stockroom.selectors import stock_list


def before_prepared(exam):
    """The sentences that stand between an exam and its being prepared."""
    stock = stock_list(exam)
    if stock is None:
        return [_("There are no samples: the draw is not made.")]
    left = stock.still_open
    if not left:
        return []
    return [ngettext(
        "%(left)d line of the stock room's list is not done yet. Do it, tick it, then sign off.",
        "%(left)d lines of the stock room's list are not done yet. Do them, tick them, then sign off.",
        left) % {"left": left}]
