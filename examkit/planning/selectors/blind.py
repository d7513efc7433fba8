"""Who marks by sample code alone: whoever examines an exam sees no name beside a code before release."""

from collections import defaultdict

from examkit.models import Part, Role, State

MARKS = (Part.EXAMINES, Part.SECOND)
ON_THE_DAY = (Role.TEACHER, Role.INVIGILATOR)


def names_hidden(exam, *, user, roles):
    """Whether a person who may open the day's pages marks this exam, and so sees no name there.

    A teacher sees names all the same: the class list is theirs.
    """
    if exam.state == State.RELEASED or Role.TEACHER in roles:
        return False
    return exam.duties.filter(user=user, part__in=MARKS).exists()


def not_blind(exam):
    """Pairs of a person who marks this exam and whether they can see names beside its codes (a teacher), or
    meet the candidates at their benches (an invigilator)."""
    duties = exam.duties.filter(part__in=MARKS).select_related("user")
    people, held = {duty.user_id: duty.user for duty in duties}, defaultdict(set)
    for membership in exam.centre.memberships.filter(user__in=people, role__in=ON_THE_DAY):
        held[membership.user_id].add(membership.role)
    return [(people[pk], Role.TEACHER in roles) for pk, roles in held.items()]
