"""The class list: imported whole, or a candidate at a time."""

from copy import copy
from itertools import islice

from django.db import transaction
from django.utils.translation import gettext as _

from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import Candidate
from examkit.planning.selectors.roster import COLUMNS, FIELDS, compare, field_values, fingerprint
from examkit.planning.services.guard import open_draft, reasoned
from examkit.planning.services.list_acts import BATCH, record, row


@transaction.atomic
def roster_import(*, exam, who, entries, tell=lambda done: None):
    """Add and change the candidates of a class list that was read without problems; nobody is removed.

    `tell` is called with the number of candidates of each batch that is written.
    """
    exam = open_draft(exam)
    difference, rows = compare(exam, entries), []
    for some in batches(difference.added):
        new = [Candidate(exam=exam, **field_values(entry)) for entry in some]
        rows += [row(None, one) for one in new]
        Candidate.objects.bulk_create(new)
        tell(len(some))
    for some in batches(difference.changed):
        new = [Candidate(exam=exam, **field_values(change.entry)) for change in some]
        rows += [row(change.candidate, one) for change, one in zip(some, new, strict=True)]
        Candidate.objects.bulk_create(
            new, update_conflicts=True, unique_fields=["exam", "number"],
            update_fields=[name for name in FIELDS if name != "number"])
        tell(len(some))
    told = {
        "added": len(difference.added),
        "changed": [change.candidate.number for change in difference.changed],
        "stayed": difference.same,
    }
    record(exam=exam, who=who, what="class list imported", about=exam.name, detail=told, rows=rows)
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
    before = copy(candidate)
    candidate = candidate or Candidate(exam=exam)
    for name, value in fields.items():
        setattr(candidate, name, value)
    candidate.save()
    changed = [name for name in FIELDS if before and getattr(before, name) != getattr(candidate, name)]
    record(exam=exam, who=who, what="candidate changed" if before else "candidate added",
           about=f"{exam}: {candidate.number}", detail={"number": candidate.number, "fields": changed},
           rows=[row(before, candidate)])
    return candidate


def _stale(candidate, fields):
    stored = [f"{COLUMNS[FIELDS[name]]}: {getattr(candidate, name)}"
              for name, value in fields.items() if getattr(candidate, name) != value]
    return _("Somebody changed this candidate meanwhile. Stored now, other than typed here: %(stored)s. "
             "What you typed is still below; save again to put it in place of that.") % {
        "stored": "; ".join(stored) or "–"}


@transaction.atomic
def candidate_delete(*, candidate, who, reason):
    """Take a candidate off a draft's list, with a reason."""
    exam, reason = open_draft(candidate.exam), reasoned(reason)
    record(exam=exam, who=who, what="candidate removed", about=f"{exam}: {candidate.number}",
           detail={"number": candidate.number, "reason": reason}, rows=[row(candidate, None)])
    candidate.delete()
