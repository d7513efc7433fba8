"""Entries of a centre's own: added, changed, withdrawn; refused while the merged base would not pass."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from examkit import audit
from examkit.chemistry.errors import KnowledgeError
from examkit.errors import ChangedMeanwhile, Refused
from examkit.knowledge import left_out, own_entries, own_entry, shipped_with
from examkit.models import Centre, Own, OwnKind
from examkit.own.selectors import frozen_by, used_by
from examkit.planning.services.guard import reasoned


class DoesNotWork(Refused):
    """The entry would not pass the checks; `problems` are those of the knowledge base, all of them."""

    def __init__(self, problems):
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, problems)))


@transaction.atomic
def own_add(*, centre, who, kind, data, why, key=""):
    """Add an entry; without a key it gets the next number. One that was withdrawn may be added anew."""
    _hold(centre)
    key = key or _next_key(centre, kind)
    old = Own.objects.filter(centre=centre, kind=kind, key=key).first()
    if old and old.active:
        raise Refused(_("“%(entry)s” is one of your own already. Change that.") % {"entry": old})
    entry = old or Own(centre=centre, kind=kind, key=key, version=0)
    return _write(entry, who, data, why, "own entry added")


@transaction.atomic
def own_change(*, entry, who, version, data, why):
    """Change an entry; what was drawn before keeps what was frozen then."""
    entry = _fresh(entry, version)
    exams = frozen_by(entry)
    if exams and entry.kind == OwnKind.MARKING:
        raise Refused(_("By this mark scheme an exam is marked that is sealed or drawn (%(exams)s). Copy "
                        "it, change the copy, and give the exam the copy: its page shows whose marks would "
                        "change before it is done.") % {"exams": ", ".join(exams)})
    if exams:
        raise Refused(_("This scheme is that of an exam that is sealed or drawn (%(exams)s), whose sheets "
                        "and records must fit each other. Copy the scheme and change the copy.")
                      % {"exams": ", ".join(exams)})
    return _write(entry, who, data, why, "own entry changed")


@transaction.atomic
def own_withdraw(*, entry, who, version, reason):
    """Take an entry out of the centre's base; it stays stored. Refused while something needs it."""
    entry, reason = _fresh(entry, version), reasoned(reason)
    users = used_by(entry)
    if users:
        raise Refused(_("Still needed by: %(users)s.") % {"users": ", ".join(users)})
    _refuse_faults(entry.centre, [e for e in own_entries(entry.centre) if not _same(e, entry)])
    entry.active, entry.version = False, entry.version + 1
    entry.save()
    _record(entry, who, "own entry withdrawn", reason=reason)
    return entry


@transaction.atomic
def own_back(*, entry, who, version, reason):
    """Let a withdrawn entry count again as it stood, with a reason; refused where it no longer passes."""
    entry, reason = _fresh(entry, version, active=False), reasoned(reason)
    _refuse_faults(entry.centre, [*own_entries(entry.centre), own_entry(entry)], entry)
    entry.active, entry.version = True, entry.version + 1
    entry.save()
    _record(entry, who, "own entry brought back", reason=reason)
    return entry


def _write(entry, who, data, why, what):
    before = entry.data if entry.pk else None
    entry.data, entry.why, entry.by, entry.at = data, why.strip(), who, timezone.now()
    _refuse_faults(entry.centre, [*(e for e in own_entries(entry.centre) if not _same(e, entry)),
                                  own_entry(entry)], entry)
    entry.active, entry.version = True, entry.version + 1
    entry.save()
    _record(entry, who, what, before=before, after=data, why=entry.why)
    return entry


def _refuse_faults(centre, entries, entry=None):
    """Refuse entries that do not pass; what stood there and failed before is no fault of this change."""
    known = {(problem.entry.kind, problem.entry.key) for problem in left_out(centre)}
    if entry is not None:
        known.discard((entry.kind, entry.key))
    try:
        shipped_with(entries)
    except KnowledgeError as error:
        problems = [p for p in error.problems if (p.entry.kind, p.entry.key) not in known]
        if problems:
            raise DoesNotWork(problems) from error


def _same(entry, row):
    return (entry.kind, entry.key) == (row.kind, row.key)


def _next_key(centre, kind):
    """The next number; entries are never deleted, so none is given twice."""
    number = Own.objects.filter(centre=centre, kind=kind).count() + 1
    return f"own-{number}"


def _hold(centre):
    """One change of a centre's base at a time: each is checked together with all others."""
    Centre.objects.select_for_update().get(pk=centre.pk)


def _fresh(entry, version, active=True):
    """The entry as it stands now, if it is still as the page showed it."""
    _hold(entry.centre)
    now = Own.objects.select_related("centre").get(pk=entry.pk)
    if now.active != active:
        raise ChangedMeanwhile(_("Somebody withdrew this entry meanwhile.") if active else
                               _("Somebody brought this entry back meanwhile."))
    if version is None or now.version != int(version):
        raise ChangedMeanwhile(_("Somebody else changed this entry meanwhile. Look at both versions and save "
                                 "again."), theirs=now)
    return now


def _record(entry, who, what, **detail):
    audit.record(centre=entry.centre, who=who, what=what, about=str(entry),
                 detail=detail | {"version": entry.version})
