"""Acts that are taken back later: an act is known by its entry in the trail, and is taken back once.

The entry that takes one back says in its detail which one is `gone`.
"""

from django.utils.translation import gettext as _

from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import AuditEntry, Centre


def standing(centre, acts, *, back):
    """The entries of a centre's trail among `acts` (a Q) that no entry named `back` has taken back, newest
    first."""
    trail = AuditEntry.objects.filter(centre=centre)
    gone = list(trail.filter(what=back).values_list("detail__gone", flat=True))
    return trail.filter(acts).exclude(sequence__in=gone).order_by("-sequence")


def to_take_back(centre, acts, *, back, number):
    """The entry with this number among `acts`; the centre is held, so that nobody else takes it back too."""
    Centre.objects.select_for_update().get(pk=centre.pk)
    if AuditEntry.objects.filter(centre=centre, what=back, detail__gone=number).exists():
        raise ChangedMeanwhile(_("This was brought back or undone already. Look at the page again."))
    entry = standing(centre, acts, back=back).filter(sequence=number).first()
    if entry is None:
        raise Refused(_("Nothing with the number %(number)d in the audit trail can be brought back or undone "
                        "here.") % {"number": number})
    return entry
