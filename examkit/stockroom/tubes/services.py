"""Tubes filled, weighed, emptied again; each act with its audit entry."""

from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import Tube
from examkit.planning.services.guard import reasoned
from examkit.stockroom.amounts import exact
from examkit.stockroom.services import refuse_unless_open
from examkit.stockroom.trials.selectors import trial_rows
from examkit.stockroom.tubes.selectors import EMPTIED, MG_IN_G, filled_at_once, labels, need_of
from examkit.stockroom.tubes.tolerance import tolerance
from examkit.stockroom.versions import version_of
from examkit.undo import to_take_back


@transaction.atomic
def tube_fill(*, trial, who, label, mass_g=None, version):
    """Note that a tube was filled from the bottle of this trial, with its mass (g) where it was weighed."""
    exam = trial.exam
    refuse_unless_open(exam)
    need = need_of(exam, trial.salt)
    if need is None or label not in labels(need):
        raise Refused(_("'%(label)s' is no tube of this salt.") % {"label": label})
    _refuse_set_aside(trial)
    _refuse_outside(need, mass_g)
    tube = Tube.objects.select_for_update().filter(exam=exam, salt=trial.salt, label=label).first()
    if version_of(tube) != version:
        raise ChangedMeanwhile(_("Somebody noted this tube meanwhile. Look, then try again."), theirs=tube)
    tube = tube or Tube(exam=exam, salt=trial.salt, label=label, version=0,
                        sample=exam.samples.filter(salt=trial.salt, code=label).first())
    tube.trial, tube.by, tube.version = trial, who, tube.version + 1
    tube.mass_mg = None if mass_g is None else int(exact(mass_g) * MG_IN_G)
    tube.save()
    audit.record(centre=exam.centre, who=who, what="tube filled", about=f"{exam}: {label}", detail={
        "exam": exam.pk, "salt": trial.salt, "bottle": trial.named, "mass_mg": tube.mass_mg})
    return tube


@transaction.atomic
def tubes_fill_rest(*, trial, who):
    """Note that all tubes of the salt that are still empty were filled from this bottle, without masses."""
    exam = trial.exam
    refuse_unless_open(exam)
    _refuse_set_aside(trial)
    made = _fill(exam, trial, who, labels(need_of(exam, trial.salt)))
    if not made:
        raise Refused(_("All tubes of this salt are filled already."))
    audit.record(centre=exam.centre, who=who, what="tubes filled", about=f"{exam}: {trial.salt}", detail={
        "exam": exam.pk, "salt": trial.salt, "trial": trial.pk, "bottle": trial.named, "tubes": made})
    return made


@transaction.atomic
def tube_empty(*, tube, who, why):
    """Take back that a tube was filled, with a reason: spilt, damp, from the wrong bottle."""
    why = reasoned(why)
    refuse_unless_open(tube.exam)
    audit.record(centre=tube.exam.centre, who=who, what="tube emptied", about=f"{tube.exam}: {tube.label}",
                 detail={"exam": tube.exam_id, "salt": tube.salt, "bottle": tube.trial.named,
                         "mass_mg": tube.mass_mg, "why": why})
    tube.delete()


@transaction.atomic
def tubes_fill_undo(*, exam, salt, who, number, why):
    """Take back whole that the rest of the tubes was filled, with a reason; what was weighed since stays."""
    why = reasoned(why)
    refuse_unless_open(exam)
    kept = to_take_back(exam.centre, filled_at_once(exam, salt), back=EMPTIED, number=number).detail
    gone = exam.tubes.filter(salt=salt, trial=kept["trial"], label__in=kept["tubes"], version=1,
                             mass_mg=None)
    labels_gone = sorted(gone.values_list("label", flat=True))
    gone.delete()
    audit.record(centre=exam.centre, who=who, what=EMPTIED, about=f"{exam}: {salt}", detail={
        "exam": exam.pk, "gone": number, "bottle": kept["bottle"], "tubes": labels_gone, "why": why})


def keep_bottles(exam, who):
    """At the sign-off: samples whose filling nobody noted came from the one bottle in use of their salt."""
    for salt, rows in trial_rows(exam).items():
        usable = [row.trial for row in rows if row.usable]
        codes = exam.samples.filter(salt=salt).order_by("code").values_list("code", flat=True)
        if len(usable) == 1:
            _fill(exam, usable[0], who, list(codes))


def _fill(exam, trial, who, wanted):
    there = set(exam.tubes.filter(salt=trial.salt).values_list("label", flat=True))
    samples = {sample.code: sample for sample in exam.samples.filter(salt=trial.salt)}
    made = [label for label in wanted if label not in there]
    Tube.objects.bulk_create(
        Tube(exam=exam, salt=trial.salt, label=label, sample=samples.get(label), trial=trial, by=who)
        for label in made)
    return made


def _refuse_set_aside(trial):
    if trial.bottle and trial.bottle.set_aside:
        raise Refused(_("This bottle is set aside: %(why)s. Take another.") % {"why": trial.bottle.set_aside})


def _refuse_outside(need, mass_g):
    allowed = tolerance(need.tube_g)
    if mass_g is not None and not allowed.holds(mass_g):
        raise Refused(_("%(mass)s g is outside %(low)s to %(high)s g. Add some or take some out, and weigh "
                        "again.") % {"mass": Decimal(mass_g), "low": allowed.low_g, "high": allowed.high_g})
