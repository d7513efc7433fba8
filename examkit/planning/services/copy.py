"""A new exam made like an earlier one."""

from datetime import timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Duty, Exam, PoolSalt, Sitting
from examkit.planning.services.exams import exam_create

KEPT = ("scheme", "mark_scheme", "sample_mg", "spare_percent")


@transaction.atomic
def exam_copy(*, exam, who, name, held_on=None):
    """A draft like an earlier exam: particulars, rules, pool, sittings with rooms, people; no candidates.

    Sittings begin as many days later as the new exam is held later, where both dates are known; else they
    have no time.
    """
    if exam.centre.exams.filter(name=name).exists():
        raise Refused(_("There is an exam called '%(name)s' already. Choose another name.") % {"name": name})
    new = exam_create(centre=exam.centre, who=who, name=name, held_on=held_on,
                      **{field: getattr(exam, field) for field in KEPT})
    Exam.objects.filter(pk=new.pk).update(rules=exam.rules)
    PoolSalt.objects.bulk_create(PoolSalt(exam=new, formula=one.formula) for one in exam.pool.all())
    Sitting.objects.bulk_create(
        Sitting(exam=new, room_id=one.room_id, name=one.name, minutes=one.minutes,
                starts_at=_moved(one.starts_at, exam, held_on))
        for one in exam.sittings.all()
    )
    Duty.objects.bulk_create(Duty(exam=new, user_id=one.user_id, part=one.part) for one in exam.duties.all())
    audit.record(centre=exam.centre, who=who, what="exam copied", about=name, detail={"from": exam.name})
    new.refresh_from_db()
    return new


def _moved(starts_at, exam, held_on):
    if not (starts_at and exam.held_on and held_on):
        return None
    return starts_at + timedelta(days=(held_on - exam.held_on).days)
