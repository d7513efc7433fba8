"""Shelf and trials as an assistant leaves them: a bottle of each drawn salt, tried and as expected."""

from decimal import Decimal

from examkit.models import ShelfItem
from examkit.stockroom.services import shelf_add
from examkit.stockroom.trials.selectors import bottles_of, trial_row
from examkit.stockroom.trials.services import trial_open, trial_see


def bottle(exam, who, salt, **more):
    """A bottle of a salt on the shelf of the exam's centre."""
    return shelf_add(centre=exam.centre, who=who, substance=salt, amount=Decimal(500), **more)


def try_as_expected(trial, who, but=()):
    """All tests of a trial noted as expected, but for those named."""
    for line in trial_row(trial).lines:
        if line.test not in but and not line.settled:
            trial_see(trial=trial, who=who, test=line.test, agrees=True, version=line.version)


def all_tried(exam, who):
    """A tried bottle for every drawn salt."""
    for salt in sorted(set(exam.samples.values_list("salt", flat=True))):
        found = bottles_of(exam, salt) or [bottle(exam, who, salt)]
        item = None if " + " in salt else ShelfItem.objects.get(pk=found[0].pk)
        try_as_expected(trial_open(exam=exam, who=who, salt=salt, bottle=item), who)
