"""Acts on a class list are kept with what they changed, and taken back whole, with a reason.

The audit trail knows candidates by their number alone; names and needs are in `ListAct`.
"""

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit import audit
from examkit.errors import Refused
from examkit.models import Candidate, ListAct
from examkit.planning.selectors.gone import LIST_BACK, acts_on_list_of
from examkit.planning.selectors.roster import FIELDS, fingerprint
from examkit.planning.services.guard import locked, open_draft, reasoned
from examkit.undo import to_take_back

BATCH = 500  # candidates written in one statement
MOST_NAMED = 20


def row(before, after):
    """One candidate before and after an act (None: not on the list) as it is kept."""
    fields = before and {name: getattr(before, name) for name in FIELDS}
    return [(after or before).number, fields, fingerprint(after)]


def record(*, exam, who, what, about, detail, rows):
    """Append the act to the trail and keep what it changed, if anything."""
    entry = audit.record(centre=exam.centre, who=who, what=what, about=about, detail=detail)
    if rows:
        ListAct.objects.create(exam=exam, entry=entry, rows=rows)


@transaction.atomic
def list_act_undo(*, exam, who, number, reason):
    """Put the class list back to before one act on it; `number` is the act's entry in the audit trail.

    Refused, with the candidates named, where something was done with them since.
    """
    exam, reason = locked(exam), reasoned(reason)
    entry = to_take_back(exam.centre, acts_on_list_of(exam), back=LIST_BACK, number=number)
    act = entry.list_act
    _refuse_seated(exam, {number for number, _before, _print in act.rows})
    exam = open_draft(exam)
    now = {one.number: one for one in exam.candidates.all()}
    _refuse_changed(act.rows, now)
    _put_back(exam, act.rows, now)
    back = sum(before is not None for _number, before, _print in act.rows)
    audit.record(centre=exam.centre, who=who, what=LIST_BACK, about=entry.about, detail={
        "gone": number, "act": entry.what, "off the list": len(act.rows) - back, "as before": back,
        "reason": reason})
    act.delete()


def _refuse_seated(exam, numbers):
    """Records hang on samples by their reverse name, so that planning need not know the marker."""
    drawn = exam.samples.order_by("candidate__number").values_list("candidate__number", "record")
    seated = {number: record for number, record in drawn if number in numbers}
    if not seated:
        return
    told = ngettext("A sample is drawn for candidate %(who)s.", "Samples are drawn for candidates %(who)s.",
                    len(seated)) % {"who": _named(seated)}
    entered = [number for number, record in seated.items() if record]
    if entered:
        told += " " + _("Records were entered for %(who)s.") % {"who": _named(entered)}
    raise Refused(told + " " + _("Undo the draw first, with a reason."))


def _refuse_changed(rows, now):
    """Later acts are taken back before earlier ones; a number that went to somebody else is theirs."""
    later = [number for number, _before, after in rows if fingerprint(now.get(number)) != after]
    if later:
        raise Refused(_("Changed again since: %(who)s. Undo that first.") % {"who": _named(later)})
    touched = {number for number, _before, _after in rows}
    wanted = {before["number"] for _number, before, _after in rows if before}
    taken = sorted(wanted & now.keys() - touched)
    if taken:
        raise Refused(_("Another candidate has this number now: %(who)s. Change that first.") % {
            "who": _named(taken)})


def _named(numbers):
    first = list(numbers)[:MOST_NAMED]
    more = len(numbers) - len(first)
    return ", ".join(first) + (_(" and %(n)d more") % {"n": more} if more else "")


def _put_back(exam, rows, now):
    """In a draft nothing hangs on a candidate, so all go and those who were there before come again under
    their key: numbers that changed places never collide."""
    keys = {number: now[number].pk for number, _before, _print in rows if number in now}
    gone = list(keys.values())
    for start in range(0, len(gone), BATCH):
        Candidate.objects.filter(pk__in=gone[start:start + BATCH]).delete()
    Candidate.objects.bulk_create(
        (Candidate(pk=keys.get(number), exam=exam, **before) for number, before, _print in rows if before),
        batch_size=BATCH)
