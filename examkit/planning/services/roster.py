"""The class list: imported whole, or a candidate at a time."""

from itertools import islice

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import Candidate
from examkit.planning.selectors.roster import COLUMNS, FIELDS, compare, field_values, fingerprint
from examkit.planning.services.guard import open_draft

BATCH = 500  # candidates written in one statement


@transaction.atomic
def roster_import(*, exam, who, entries, tell=lambda done: None):
    """Add and change the candidates of a class list that was read without problems; nobody is removed.

    `tell` is called with the number of candidates of each batch that is written.
    """
    exam = open_draft(exam)
    difference = compare(exam, entries)
    for some in batches(difference.added):
        Candidate.objects.bulk_create(Candidate(exam=exam, **field_values(entry)) for entry in some)
        tell(len(some))
    for some in batches(difference.changed):
        Candidate.objects.bulk_create(
            (Candidate(exam=exam, **field_values(change.entry)) for change in some), update_conflicts=True,
            unique_fields=["exam", "number"], update_fields=[name for name in FIELDS if name != "number"])
        tell(len(some))
    told = {
        "added": len(difference.added),
        "changed": [change.candidate.number for change in difference.changed],
        "stayed": difference.same,
    }
    audit.record(centre=exam.centre, who=who, what="class list imported", about=exam.name, detail=told)
    return difference


def batches(items):
    """The items in turn, so many at a time that no statement grows with the list."""
    items = iter(items)
    while some := list(islice(items, BATCH)):
        yield some


@transaction.atomic
def candidate_save(*, exam, who, candidate=None, was="", **fields):
    """Add a candidate, or change one, by hand; `was` is the fingerprint of what the form was filled with."""
    exam = open_draft(exam)
    if candidate and was and was != fingerprint(candidate):
        raise ChangedMeanwhile(_stale(candidate, fields), theirs=candidate)
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


def _stale(candidate, fields):
    stored = [f"{COLUMNS[FIELDS[name]]}: {getattr(candidate, name)}"
              for name, value in fields.items() if getattr(candidate, name) != value]
    return _("Somebody changed this candidate meanwhile. Stored now, other than typed here: %(stored)s. "
             "What you typed is still below; save again to put it in place of that.") % {
        "stored": "; ".join(stored) or "–"}


@transaction.atomic
def candidate_delete(*, candidate, who):
    """Take a candidate off a draft's list."""
    exam = open_draft(candidate.exam)
    audit.record(centre=exam.centre, who=who, what="candidate removed", about=f"{exam}: {candidate.number}")
    candidate.delete()
