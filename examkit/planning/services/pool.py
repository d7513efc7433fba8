"""The pool: the specimens that may be drawn."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.models import PoolSalt
from examkit.planning.selectors.pool import offered
from examkit.planning.services.guard import open_draft

FEWEST = 2  # neighbours must differ


@transaction.atomic
def pool_set(*, exam, who, formulas):
    """Make these formulas the pool of a draft; refused where the scheme does not cover one, or they are
    too few."""
    exam = open_draft(exam)
    wanted = list(dict.fromkeys(formulas))
    strange = sorted(set(wanted) - {choice.formula for choice in offered(exam)})
    if strange:
        raise Refused(_("The scheme of this exam does not cover %(salts)s. Choose from the list.") % {
            "salts": ", ".join(strange)})
    if len(wanted) < FEWEST:
        raise Refused(_("%(chosen)d chosen; a pool has at least %(fewest)d salts, since neighbours must "
                        "differ. Choose more.") % {"chosen": len(wanted), "fewest": FEWEST})
    told = put_pool(exam, wanted)
    if any(told.values()):
        audit.record(centre=exam.centre, who=who, what="pool changed", about=exam.name,
                     detail={"exam": exam.pk} | told)
    return exam.pool.all()


def put_pool(exam, wanted):
    """Make these formulas the pool; which were added and removed."""
    before = set(exam.pool.values_list("formula", flat=True))
    exam.pool.exclude(formula__in=wanted).delete()
    PoolSalt.objects.bulk_create(PoolSalt(exam=exam, formula=one) for one in wanted if one not in before)
    return {"added": sorted(set(wanted) - before), "removed": sorted(before - set(wanted))}
