"""The class list: imported whole, or a candidate at a time."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import Candidate
from examkit.planning.selectors.roster import FIELDS, compare, field_values
from examkit.planning.services.guard import open_draft


@transaction.atomic
def roster_import(*, exam, who, entries):
    """Add and change the candidates of a class list that was read without problems; nobody is removed."""
    exam = open_draft(exam)
    difference = compare(exam, entries)
    Candidate.objects.bulk_create(Candidate(exam=exam, **field_values(entry)) for entry in difference.added)
    for change in difference.changed:
        for field, value in field_values(change.entry).items():
            setattr(change.candidate, field, value)
        change.candidate.save()
    told = {
        "added": len(difference.added),
        "changed": [change.candidate.number for change in difference.changed],
        "stayed": difference.same,
    }
    audit.record(centre=exam.centre, who=who, what="class list imported", about=exam.name, detail=told)
    return difference


@transaction.atomic
def candidate_save(*, exam, who, candidate=None, **fields):
    """Add a candidate, or change one, by hand."""
    exam = open_draft(exam)
    twins = exam.candidates.filter(number=fields["number"]).exclude(pk=candidate and candidate.pk)
    if twins.exists():
        raise Refused(_("Candidate number %(number)s is taken already.") % {"number": fields["number"]})
    before = {name: getattr(candidate, name) for name in FIELDS} if candidate else {}
    candidate = candidate or Candidate(exam=exam)
    for name, value in fields.items():
        setattr(candidate, name, value)
    candidate.save()
    changed = [name for name in before if before[name] != getattr(candidate, name)]
    audit.record(centre=exam.centre, who=who, what="candidate changed" if before else "candidate added",
                 about=f"{exam}: {candidate.number}", detail={"fields": changed})
    return candidate


@transaction.atomic
def candidate_delete(*, candidate, who):
    """Take a candidate off a draft's list."""
    exam = open_draft(candidate.exam)
    audit.record(centre=exam.centre, who=who, what="candidate removed", about=f"{exam}: {candidate.number}")
    candidate.delete()
