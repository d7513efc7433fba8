"""The rules of an exam's draw."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import Refused
from examkit.planning.services.guard import open_draft, touch


@transaction.atomic
def rules_set(*, exam, who, rules):
    """Set the rules of a draft's draw; salts that are kept apart must be in its pool."""
    exam = open_draft(exam)
    refuse_strange(exam, rules)
    before, after = exam.rules, rules.as_json()
    if before != after:
        touch(exam, rules=after)
        audit.record(centre=exam.centre, who=who, what="rules of the draw set", about=exam.name,
                     detail={"exam": exam.pk, "before": before, "after": after})
    return exam


def refuse_strange(exam, rules):
    """Refuse rules that keep salts apart which are not in the pool."""
    pool = set(exam.pool.values_list("formula", flat=True))
    strange = sorted({salt for group in rules.apart for salt in group} - pool)
    if strange:
        raise Refused(_("To be kept apart, but not in the pool: %(salts)s. Choose the pool first.") % {
            "salts": ", ".join(strange)})
