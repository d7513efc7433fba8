"""Who does what in one exam."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Part, Role
from examkit.planning.services.guard import reasoned

# the roles in the centre that admit to a part of an exam (the rules of access hold beside)
ROLES = {
    Part.LEAD: (Role.TEACHER,),
    Part.PREPARES: (Role.ASSISTANT, Role.TEACHER),
    Part.INVIGILATES: (Role.INVIGILATOR, Role.TEACHER, Role.ASSISTANT, Role.EXAMINER),
    Part.EXAMINES: (Role.EXAMINER, Role.MODERATOR),
    Part.SECOND: (Role.MODERATOR, Role.EXAMINER),
    Part.MODERATES: (Role.MODERATOR,),
}


@transaction.atomic
def duty_add(*, exam, who, user, part):
    """Give a person of the centre a part in an exam; refused where their role does not admit to it."""
    duty, made = give_duty(exam, user, part)
    if made:
        audit.record(centre=exam.centre, who=who, what="duty given", about=exam.name,
                     detail={"exam": exam.pk, "person": user.get_username(), "part": duty.part})
    return duty


def give_duty(exam, user, part):
    """The duty, and whether it is new."""
    part = Part(part)
    held = set(exam.centre.memberships.filter(user=user).values_list("role", flat=True))
    if not held & {role.value for role in ROLES[part]}:
        raise Refused(_("%(person)s has none of these roles in the centre: %(roles)s. Choose somebody else, "
                        "or give them the role first.") % {
            "person": user, "roles": ", ".join(str(role.label) for role in ROLES[part])})
    return exam.duties.get_or_create(user=user, part=part.value)


@transaction.atomic
def duty_remove(*, duty, who, reason):
    """Take a part in an exam from a person, with a reason."""
    audit.record(centre=duty.exam.centre, who=who, what="duty taken", about=duty.exam.name, detail={
        "exam": duty.exam_id, "person": duty.user.get_username(), "part": duty.part,
        "reason": reasoned(reason)})
    duty.delete()
