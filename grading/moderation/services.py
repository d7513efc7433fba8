"""The release of results: by two people where there are two, bound to the results that they have seen."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.models import Exam, Membership, Role, State
from examkit.planning.services import exam_move
from grading.errors import NotPossible
from grading.marking.services import needed
from grading.models import Approval
from grading.moderation.selectors import consents, digest, needed_roles, results
from grading.second.selectors import missing_before_release


@transaction.atomic
def release_agree(*, exam, role, seen, who):
    """Agree, in a role, to the release of the results with the digest `seen`; the last consent releases."""
    exam = Exam.objects.select_for_update().get(pk=exam.pk)
    found = results(exam)
    _check(exam, role, seen, digest(found), who)
    Approval.objects.update_or_create(exam=exam, role=role, defaults={"by": who, "digest": seen})
    audit.record(
        centre=exam.centre,
        who=who,
        what="release agreed to",
        about=exam.name,
        detail={"role": str(role), "results": seen},
    )
    if all(consent.current for consent in consents(exam, found)):
        return _release(exam, seen, who)
    return exam


@transaction.atomic
def release_withdraw(*, exam, reason, who):
    """Take a release back: the results are provisional again, and need all consents anew."""
    reason = needed(reason)
    if exam.state != State.RELEASED:
        raise NotPossible(_("The results of this exam are not released."))
    exam.approvals.all().delete()
    return exam_move(exam=exam, to=State.MARKED, who=who, reason=reason)


def _release(exam, seen, who):
    agreed = {approval.role: approval.by.get_username() for approval in exam.approvals.select_related("by")}
    alone = len(needed_roles(exam.centre)) == 1
    note = {"note": "released by the teacher alone: the centre has no moderator"} if alone else {}
    released = exam_move(exam=exam, to=State.RELEASED, who=who)
    audit.record(
        centre=exam.centre,
        who=who,
        what="results released",
        about=exam.name,
        detail={"agreed": agreed, "results": seen} | note,
    )
    return released


def _check(exam, role, seen, now, who):
    if exam.state != State.MARKED:
        raise NotPossible(
            _(
                "Results are released when all records are marked and handed over. This exam is at "
                "“%(state)s”."
            )
            % {"state": exam.get_state_display()}
        )
    if unsettled := missing_before_release(exam):
        raise NotPossible(" ".join(unsettled))
    if role not in needed_roles(exam.centre):
        raise NotPossible(_("This centre releases without a consent of that role."))
    if not Membership.objects.filter(centre=exam.centre, user=who, role=role).exists():
        raise NotPossible(_("You are not the %(role)s of this centre.") % {"role": Role(role).label})
    if exam.approvals.filter(by=who).exclude(role=role).exists():
        raise NotPossible(_("Two people agree to a release: you have agreed in another role already."))
    if seen != now:
        raise ChangedMeanwhile(_("The results changed since this page was shown. Look at them again."))
