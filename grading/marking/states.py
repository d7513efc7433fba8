"""How far a record has come, in the words of the queue."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class RecordState(models.TextChoices):
    """From `not entered` to `marked`; a record that was never handed in is closed, too."""

    MISSING = "not-entered", _("not entered")
    ENTERED = "entered", _("entered")
    PARTLY = "partly-marked", _("partly marked")
    MARKED = "marked", _("marked")
    ABSENT = "absent", _("no record handed in")


DONE = (RecordState.MARKED, RecordState.ABSENT)


def state_of(record, awards):
    """The state of a record (None where there is none) with so many awards."""
    if record is None:
        return RecordState.MISSING
    if record.finished:
        return RecordState.ABSENT if record.absent else RecordState.MARKED
    return RecordState.PARTLY if awards else RecordState.ENTERED
