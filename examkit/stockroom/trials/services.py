"""Trying bottles: what was seen, and how a difference is settled; each act with its audit entry."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.chemistry.describe import describe_test
from examkit.chemistry.knowledge.model import Outcome
from examkit.errors import ChangedMeanwhile, Refused
from examkit.knowledge import knowledge
from examkit.models import Amendment, ShelfItem, Trial, TrialLine
from examkit.planning.services.guard import reasoned
from examkit.stockroom.services import refuse_unless_open
from examkit.stockroom.trials.amended import amended
from examkit.stockroom.trials.selectors import base_record, bottle_words, bottles_of, trial_row

BLANK = dict.fromkeys(("texture", "product", "gas", "smell", "also_seen")) | {"step": "", "colours": []}


@transaction.atomic
def trial_open(*, exam, who, salt, bottle=None):
    """Begin to try a bottle of a drawn salt; a mixture is tried as it is packed, so it has no one bottle."""
    refuse_unless_open(exam)
    if not exam.samples.filter(salt=salt).exists():
        raise Refused(_("This salt was not drawn for this exam, so there is nothing to try."))
    found = bottles_of(exam, salt)
    if not found or (bottle not in found and not (bottle is None and " + " in salt)):
        raise Refused(_("This salt is not taken from that bottle. Put its bottle on the shelf first."))
    named = bottle_words(bottle) if bottle else "; ".join(bottle_words(item) for item in found)
    trial, new = Trial.objects.get_or_create(
        exam=exam, salt=salt, bottle=bottle, defaults={"named": named[:250]})
    if new:
        _record(trial, who, "trial begun")
    return trial


@transaction.atomic
def trial_see(*, trial, who, test, agrees, seen="", why="", version):
    """Note what one test showed; what differs needs words, setting it back to not tried a reason."""
    refuse_unless_open(trial.exam)
    row = _done_line(trial, test)
    if agrees is False and len(seen.strip()) < 2:
        raise Refused(_("Say what you saw: it differs from what is expected."))
    if agrees and any(not each.undone_why for each in row.amendments):
        raise Refused(_("Something else is accepted for this bottle here. Take that back first, with a "
                        "reason."))
    line, _new = TrialLine.objects.select_for_update().get_or_create(
        trial=trial, test=test, defaults={"version": 0})
    if line.version != version:
        raise ChangedMeanwhile(
            _("%(who)s noted this meanwhile; your page was older. Look, then try again.") % {"who": line.by},
            theirs=line)
    detail = {"why": reasoned(why)} if agrees is None and line.agrees is not None else {}
    line.agrees, line.seen, line.by, line.version = agrees, seen.strip()[:500], who, line.version + 1
    line.save()
    _record(trial, who, "bottle tried", test=test, agrees=agrees, seen=line.seen, **detail)
    return line


@transaction.atomic
def amend(*, trial, who, test, facet, seen, why):
    """Accept something else for the samples of this bottle in one facet; `seen` are outcomes as dicts.

    The bottle's expected record is frozen anew with it, and marking reads that.
    """
    refuse_unless_open(trial.exam)
    row, why = _done_line(trial, test), reasoned(why)
    if row.agrees is not False:
        raise Refused(_("Note first what you saw: only what differs from the expected can be accepted "
                        "beside it."))
    if facet not in dict(row.facets):
        raise Refused(_("This test has nothing of that kind to look at with this salt."))
    _refuse_strange_words(knowledge(trial.exam.centre), seen)
    seen = [BLANK | outcome for outcome in seen]
    made = Amendment.objects.create(trial=trial, test=test, facet=facet, seen=seen, why=why[:300], by=who)
    _freeze(trial)
    _record(trial, who, "bottle amended", test=test, facet=facet, seen=seen, why=why, amendment=made.pk)
    return made


@transaction.atomic
def amend_undo(*, amendment, who, why):
    """Take back what was accepted for a bottle, with a reason; the entry is kept."""
    trial, why = amendment.trial, reasoned(why)
    refuse_unless_open(trial.exam)
    row = Amendment.objects.select_for_update().get(pk=amendment.pk)
    if row.undone_why:
        raise ChangedMeanwhile(
            _("This was taken back already: %(why)s") % {"why": row.undone_why}, theirs=row)
    row.undone_why, row.undone_by = why[:300], who
    row.save()
    _freeze(trial)
    _record(trial, who, "amendment undone", test=row.test, facet=row.facet, why=why, amendment=row.pk)
    return row


@transaction.atomic
def set_aside(*, item, who, why):
    """Set a bottle aside: nothing is taken from it any more, until it is used again with a reason."""
    why = reasoned(why)
    row = ShelfItem.objects.select_for_update().get(pk=item.pk)
    row.set_aside = why[:300]
    row.save(update_fields=["set_aside"])
    audit.record(centre=row.centre, who=who, what="bottle set aside", about=row.substance,
                 detail={"bottle": row.pk, "lot": row.lot, "why": why})
    return row


@transaction.atomic
def use_again(*, item, who, why):
    """Use a bottle again that was set aside, with a reason."""
    why = reasoned(why)
    row = ShelfItem.objects.select_for_update().get(pk=item.pk)
    if not row.set_aside:
        raise Refused(_("This bottle is in use."))
    row.set_aside = ""
    row.save(update_fields=["set_aside"])
    audit.record(centre=row.centre, who=who, what="bottle used again", about=row.substance,
                 detail={"bottle": row.pk, "lot": row.lot, "why": why})
    return row


def _done_line(trial, test):
    row = next((line for line in trial_row(trial).lines if line.test == test), None)
    if row is None:
        raise Refused(_("With this salt the scheme does not come to that test, so there is nothing to see."))
    return row


def _refuse_strange_words(kb, seen):
    known = set(kb.colours) | {like for colour in kb.colours.values() for like in colour.like}
    strange = sorted({word for outcome in seen for word in outcome["colours"]} - known)
    if strange:
        raise Refused(_("No colour words: %(words)s. Use words that stand in the list of colours.") % {
            "words": ", ".join(strange)})


def _freeze(trial):
    """The bottle's own expected record: the salt's, with what is accepted for it; none where nothing is."""
    record, edition = base_record(trial.exam, trial.salt)
    kept = trial.amendments.filter(undone_why="").select_related("by")
    items = [_item(knowledge(trial.exam.centre), each) for each in kept]
    trial.record, trial.edition = (amended(record, items), edition) if items else (None, "")
    trial.save(update_fields=["record", "edition"])


def _item(kb, amendment):
    return {
        "test": amendment.test, "facet": amendment.facet, "seen": amendment.seen,
        "text": told(kb, amendment.test, amendment.facet, amendment.seen),
        "source": f"{amendment.by}, {amendment.at:%Y-%m-%d}, trial of the bottle: {amendment.why}",
    }


def told(kb, test, facet, seen):
    """Outcomes (as dicts) in words."""
    fields = Outcome.__dataclass_fields__
    outcomes = [Outcome(**{key: value for key, value in each.items() if key in fields and key != "colours"},
                        colours=tuple(each["colours"])) for each in seen]
    return describe_test(kb.tests[test], [(facet, outcomes)])


def _record(trial, who, what, **detail):
    audit.record(centre=trial.exam.centre, who=who, what=what, about=f"{trial.exam}: {trial.salt}",
                 detail={"exam": trial.exam_id, "trial": trial.pk, "bottle": trial.bottle_id,
                         "named": trial.named} | detail)
