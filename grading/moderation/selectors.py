"""Results, and what stands before their release. `results` knows names: it is for the teacher alone."""

import hashlib
import json
from dataclasses import asdict, dataclass, field
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from examkit.models import Membership, Role, Sample
from grading.analysis.compare import kruskal_wallis
from grading.analysis.spread import spread
from grading.marking.parts import stored
from grading.marking.states import RecordState, state_of
from grading.models import Approval, Award

TENTH = Decimal("0.1")
THOUSANDTH = 0.001
ENOUGH = 5  # records of a salt
SORTS = ("number", "name", "group", "code", "salt", "steps", "percent")


@dataclass(frozen=True)
class Result:
    """One candidate's result; `stages` holds the steps of each stage in the order of the record."""

    number: str
    name: str
    group: str
    code: str
    salt: str
    state: RecordState
    stages: dict = field(default_factory=dict)
    steps: int | None = None
    out_of: int | None = None
    step_marks: str = "1"

    @property
    def percent(self):
        """Marks in per cent of the full marks of this salt's record, to one decimal."""
        if self.steps is None or not self.out_of:
            return None
        return (Decimal(100 * self.steps) / self.out_of).quantize(TENTH, ROUND_HALF_UP)


def results(exam):
    """The results of an exam, by candidate number; marks that are not given yet are missing, never zero."""
    samples = Sample.objects.filter(exam=exam).select_related("candidate", "record")
    awards = {}
    for award in Award.objects.filter(record__sample__exam=exam):
        awards.setdefault(award.record_id, []).append(award)
    found = [_result(sample, awards) for sample in samples]
    return sorted(found, key=lambda result: (len(result.number), result.number))


def ordered(found, sort):
    """Results sorted by a column (`-` before its name: downwards); those without a value last."""
    name, down = sort.lstrip("-"), sort.startswith("-")
    if name not in SORTS:
        return found
    have = [result for result in found if getattr(result, name) is not None]
    have.sort(key=lambda result: _sort_key(getattr(result, name)), reverse=down)
    return have + [result for result in found if getattr(result, name) is None]


def stages(found):
    """The stages that occur, in the order of the record."""
    return list(dict.fromkeys(stage for result in found for stage in result.stages))


def digest(found):
    """Says whether a consent still speaks about these results: any mark, code or candidate changes it."""
    said = json.dumps([asdict(result) for result in found], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(said.encode()).hexdigest()


def by_salt(found):
    """[(salt, spread of its per cents)] over the records that are marked, the lowest mean first."""
    groups = _per_cents(found)
    return sorted(((salt, spread(values)) for salt, values in groups.items()), key=lambda pair: pair[1].mean)


def salts_compared(found):
    """Whether marks differ by salt more than chance would have it; None where that cannot be said."""
    return kruskal_wallis(_per_cents(found).values())


def chance_said(compared):
    """The p of a comparison as it is printed: `= 0.191`, and below a thousandth `< 0.001`."""
    if compared is None:
        return ""
    return f"= {compared.p:.3f}" if compared.p >= THOUSANDTH else f"< {THOUSANDTH}"


def are_few(spreads):
    """Whether a salt has too few records for chi-squared to be a fair approximation (common practice: 5)."""
    return any(one.n < ENOUGH for _salt, one in spreads)


@dataclass(frozen=True)
class Consent:
    """One of the people whose consent a release needs."""

    role: str
    approval: Approval | None
    current: bool

    @property
    def label(self):
        """The role in words."""
        return Role(self.role).label


def consents(exam, found=None):
    """The consents that a release needs: the teacher's, and the moderator's where the centre has one."""
    now = digest(results(exam) if found is None else found)
    given = {approval.role: approval for approval in exam.approvals.select_related("by")}
    return [
        Consent(role, given.get(role), role in given and given[role].digest == now)
        for role in needed_roles(exam.centre)
    ]


def needed_roles(centre):
    """Teacher and moderator; the teacher alone where no other person is moderator."""
    people = Membership.objects.filter(centre=centre)
    teachers = set(people.filter(role=Role.TEACHER).values_list("user", flat=True))
    moderators = set(people.filter(role=Role.MODERATOR).values_list("user", flat=True))
    two = any(teachers - {moderator} for moderator in moderators)
    return (Role.TEACHER, Role.MODERATOR) if two else (Role.TEACHER,)


def missing_before_release(exam):
    """What stands between a marked exam and its release, as sentences (settings.EXAM_CONDITIONS asks)."""
    return [
        _("The %(role)s has not agreed to the release yet.") % {"role": consent.label}
        if consent.approval is None
        else _("The results changed since the %(role)s agreed; they must agree again.")
        % {"role": consent.label}
        for consent in consents(exam)
        if not consent.current
    ]


def award_rows(sample):
    """Every part of a record with its award, for those who look at the marks without changing them."""
    record = getattr(sample, "record", None)
    suggestions = stored(record.paper) if record else None
    if suggestions is None:
        return []
    awards = {award.part: award for award in record.awards.select_related("by")}
    return [(part, awards.get(part.key)) for part in suggestions.parts]


def stages_of(sample, result):
    """[(stage, steps given, full steps)] of one result, in the order of the record."""
    record = getattr(sample, "record", None)
    suggestions = stored(record.paper) if record else None
    full = suggestions.given({part.key: part.out_of for part in suggestions.parts}) if suggestions else {}
    return [(stage, steps, full.get(stage)) for stage, steps in result.stages.items()]


def _result(sample, awards):
    record = getattr(sample, "record", None)
    candidate, suggestions = sample.candidate, stored(record.paper) if record else None
    given = awards.get(record.pk, []) if record else []
    known = {
        "number": candidate.number,
        "name": candidate.name,
        "group": candidate.group,
        "code": sample.code,
        "salt": sample.salt,
        "state": state_of(record, len(given)),
    }
    if suggestions is None or not given:
        return Result(**known)
    per_stage = suggestions.given({award.part: award.steps for award in given})
    return Result(
        **known,
        stages=per_stage,
        steps=sum(per_stage.values()),
        out_of=suggestions.out_of,
        step_marks=suggestions.step_marks,
    )


def _per_cents(found):
    groups = {}
    for result in found:
        if result.state == RecordState.MARKED and result.percent is not None:
            groups.setdefault(result.salt, []).append(float(result.percent))
    return groups


def _sort_key(value):
    return value.casefold() if isinstance(value, str) else value
