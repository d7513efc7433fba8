"""The stock room's sign-off: all is weighed, made up, tried on the scheme; the exam moves on."""

from django.db import transaction

from examkit import audit
from examkit.errors import Refused
from examkit.models import Preparation, State
from examkit.planning.services import exam_move
from examkit.stockroom.conditions import before_sign_off, stamp
from examkit.stockroom.selectors import SIGN_OFF
from examkit.stockroom.services import refuse_unless_open
from examkit.stockroom.tubes.services import keep_bottles


@transaction.atomic
def sign_off(*, exam, who):
    """Say that the stock room is ready: refused while a line is open or a bottle is not tried."""
    exam.refresh_from_db()
    refuse_unless_open(exam)
    missing = before_sign_off(exam)
    if missing:
        raise Refused(" ".join(missing))
    keep_bottles(exam, who)
    Preparation.objects.update_or_create(
        exam=exam, item=SIGN_OFF, defaults={"done": True, "by": who, "note": stamp(exam)})
    audit.record(centre=exam.centre, who=who, what="stock room signed off", about=str(exam),
                 detail={"exam": exam.pk})
    return exam_move(exam=exam, to=State.PREPARED, who=who)
