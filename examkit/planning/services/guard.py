"""What every service asks first: is the exam still open to changes, and did nobody else change it
meanwhile?"""

from django.utils.translation import gettext as _

from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import Exam, State


def locked(exam):
    """The exam as it stands now, held until the transaction ends."""
    return Exam.objects.select_for_update().get(pk=exam.pk)


def open_draft(exam):
    """The exam, held; refused once it is sealed or drawn: roster, pool and rules are frozen then."""
    exam = locked(exam)
    if exam.state != State.DRAFT:
        raise Refused(_("The exam '%(exam)s' is drawn, so its roster, rooms, pool and rules are frozen. "
                        "Undo the draw first, with a reason.") % {"exam": exam})
    if exam.commitment:
        raise Refused(_("The draw of '%(exam)s' is sealed, so its roster, rooms, pool and rules are frozen. "
                        "Break the seal first, with a reason.") % {"exam": exam})
    return exam


def same_version(exam, version):
    """Refuse a save that began from an older version than the one that is stored."""
    if version is not None and exam.version != int(version):
        raise ChangedMeanwhile(_("Somebody else changed this exam meanwhile. Look at both versions and "
                                 "save again."),
                               theirs=exam)


def reasoned(reason):
    """The reason, which must say something."""
    reason = reason.strip()
    if len(reason) < 5:
        raise Refused(_("Give a reason in words: it is kept in the audit trail."))
    return reason


def touch(exam, **fields):
    """Save fields of an exam and count its version up."""
    for name, value in fields.items():
        setattr(exam, name, value)
    exam.version += 1
    exam.save(update_fields=[*fields, "version"])
    return exam
