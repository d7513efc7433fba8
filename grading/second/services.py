"""What is done in second marking: draw, mark, finish, settle; each one act and one entry of the trail."""

import secrets
from dataclasses import astuple

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from examkit import audit
from examkit.models import Exam, Membership, Role
from grading.errors import NotPossible
from grading.marking.awarding import award_settle, change, check, part_of, same_version, values_of
from grading.marking.selectors import is_current
from grading.marking.services import about, needed, record_closed
from grading.models import Record, SecondDraw, SecondMark, SecondMarking, SecondRules
from grading.second.choice import able, choose
from grading.second.selectors import (
    OPEN,
    entries,
    entry_of,
    markers,
    may_mark,
    other_moderator,
    row_or_404,
)

SEED_BYTES = 16
NOTED = ("first_steps", "first_by", "first_reason", "settled_steps", "settled_by")


@transaction.atomic
def sample_draw(*, exam, size, reason, who, seed=None):
    """Draw `size` finished records for second marking, or more of them, which needs a reason.

    Nobody gets a record to which they gave a mark. A new seed is made, and kept with all it chose from.
    """
    exam = _held(exam)
    earlier = SecondMarking.objects.filter(record__sample__exam=exam).select_related("record__sample")
    more = exam.second_draws.exists()
    reason = needed(reason) if more else reason.strip()
    people, left = {user.pk: user.get_username() for user in markers(exam)}, entries(exam, second=None)
    _refuse_size(size, people, [entry for entry in left if able(entry, people)], left)
    already = [(entry_of(one.record), one.marker_id) for one in earlier.prefetch_related("record__awards")]
    told = {
        "entries": [astuple(entry) for entry in left],
        "markers": list(people),
        "size": size,
        "already": [(astuple(entry), marker) for entry, marker in already],
    }
    seed = seed or secrets.token_hex(SEED_BYTES)
    draw = SecondDraw.objects.create(exam=exam, seed=seed, by=who, reason=reason, chosen_from=told)
    chosen = dict(choose(left, list(people), size, seed, already))
    _begin(draw, chosen)
    what = "sample for second marking added to" if more else "sample for second marking drawn"
    detail = {"seed": seed, "records": {code: people[marker] for code, marker in chosen.items()}}
    audit.record(
        centre=exam.centre, who=who, what=what, about=exam.name,
        detail=detail | {"of": len(left), "reason": reason},
    )
    return draw


def _begin(draw, chosen):
    records = Record.objects.filter(sample__exam=draw.exam, sample__code__in=chosen).select_related("sample")
    SecondMarking.objects.bulk_create(
        SecondMarking(draw=draw, record=record, marker_id=chosen[record.sample.code]) for record in records
    )


@transaction.atomic
def sample_take_out(*, sample, reason, who):
    """Take a record out of the sample before its second marking is finished; the trail keeps its marks."""
    reason, exam = needed(reason), _held(sample.exam)
    marking = _marking(sample)
    if marking.finished_at:
        raise NotPossible(
            _("The second marking of %(code)s is finished: its differences are to be settled.")
            % {"code": sample.code}
        )
    audit.record(
        centre=exam.centre,
        who=who,
        what="record taken out of second marking",
        about=about(sample),
        detail={
            "reason": reason,
            "marker": marking.marker.get_username(),
            "marks": dict(marking.marks.values_list("part", "steps")),
        },
    )
    marking.delete()


@transaction.atomic
def allowed_set(*, exam, steps, reason, who):
    """Let differences of up to so many smallest steps in one part stand without settling, with a reason."""
    reason, exam = needed(reason), _held(exam)
    rules, _new = SecondRules.objects.get_or_create(exam=exam)
    before, rules.allowed_steps = rules.allowed_steps, steps
    rules.save()
    audit.record(
        centre=exam.centre,
        who=who,
        what="differences that may stand",
        about=exam.name,
        detail={"before": before, "now": steps, "unit": "smallest steps", "reason": reason},
    )
    return rules


@transaction.atomic
def second_set(*, sample, part, steps, reason, version, stamp, who):
    """Give a part its second mark, under the rules of a first one; no award is touched by it."""
    record, marking = _open_for(sample, who)
    found, old = part_of(record, part), marking.marks.filter(part=part).first()
    check(found, steps, reason, stamp)
    if old and (old.steps, old.reason) == (steps, reason.strip()) and is_current(old, found):
        return old
    same_version(old, version)
    values = values_of(record, found, steps, reason.strip(), who, old)
    mark, _new = SecondMark.objects.update_or_create(marking=marking, part=part, defaults=values)
    audit.record(
        centre=sample.exam.centre,
        who=who,
        about=about(sample),
        what="second mark changed" if old else "second mark given",
        detail=change(found, mark, old),
    )
    return mark


@transaction.atomic
def second_finish(*, sample, who):
    """Finish a second marking: every part has its mark, and from here on both marks are seen."""
    record, marking = _open_for(sample, who)
    row = row_or_404(sample, who)
    missing = [view.part.key for view in row.views if not view.current]
    if missing:
        raise NotPossible(
            _("%(count)d marks are missing or older than what is written now; the first is “%(first)s”.")
            % {"count": len(missing), "first": missing[0]}
        )
    awards = {award.part: award for award in record.awards.all()}
    for view in row.views:
        mark, first = view.award, awards[view.part.key]
        mark.first_steps, mark.first_by_id, mark.first_reason = first.steps, first.by_id, first.reason
        mark.settled_steps = mark.settled_by = None
    SecondMark.objects.bulk_update([view.award for view in row.views], NOTED)
    marking.finished_at = timezone.now()
    marking.save(update_fields=["finished_at"])
    differ = {
        view.part.key: [view.award.first_steps, view.award.steps]
        for view in row.views
        if view.award.first_steps != view.award.steps
    }
    audit.record(
        centre=sample.exam.centre,
        who=who,
        what="second marking finished",
        about=about(sample),
        detail={"parts": len(row.views), "differ": differ, "step_marks": record.paper["step_marks"]},
    )
    return marking


@transaction.atomic
def settle(*, sample, part, steps, reason, version, stamp, who):
    """Settle a difference: the mark decided on becomes the award; settling anew replaces it."""
    record_closed(sample)
    row = row_or_404(sample)
    found = next((each for each in row.differences if each.mark.part == part), None)
    if found is None:
        raise NotPossible(_("There is no difference to settle in this part."))
    mark, other = found.mark, other_moderator(sample.exam, found.mark)
    _refuse_settler(sample.exam, who, mark, other)
    own = {"note": "settled by one of the two markers: no other moderator"} if _is_party(who, mark) else {}
    award = award_settle(
        sample=sample,
        part=part,
        steps=steps,
        reason=reason,
        version=version,
        stamp=stamp,
        who=who,
        marks={
            "first": mark.first_steps,
            "first by": mark.first_by.get_username(),
            "second": mark.steps,
            "second by": mark.by.get_username(),
        }
        | own,
    )
    SecondMark.objects.filter(pk=mark.pk).update(settled_steps=steps, settled_by=who)
    return award


def _is_party(who, mark):
    return who.pk in (mark.by_id, mark.first_by_id)


def _refuse_settler(exam, who, mark, other):
    if not Membership.objects.filter(centre=exam.centre, user=who, role=Role.MODERATOR).exists():
        raise NotPossible(_("Differences are settled by a moderator of the centre."))
    if other and _is_party(who, mark):
        raise NotPossible(
            _("You gave one of these two marks; %(other)s, who gave neither, settles them.")
            % {"other": other}
        )


def _held(exam):
    exam = Exam.objects.select_for_update().select_related("centre").get(pk=exam.pk)
    if exam.state not in OPEN:
        raise NotPossible(
            _(
                "Records are marked a second time between the sittings and the release. This exam is at "
                "“%(state)s”."
            )
            % {"state": exam.get_state_display()}
        )
    return exam


def _refuse_size(size, people, free, left):
    if not people:
        raise NotPossible(
            _(
                "Nobody marks a second time in this exam. Name an examiner or moderator for it under "
                "“Who does what” first."
            )
        )
    if not free:
        raise NotPossible(_("No finished record is left that a second marker has not marked first."))
    if size > len(free):
        raise NotPossible(
            _(
                "%(free)d of %(left)d finished records can be drawn: those that are not drawn yet, and not "
                "first marked by every second marker. Ask for fewer, or name another second marker."
            )
            % {"free": len(free), "left": len(left)}
        )


def _marking(sample):
    marking = (
        SecondMarking.objects.select_for_update(of=("self",))
        .select_related("marker")
        .filter(record__sample=sample)
        .first()
    )
    if marking is None:
        raise NotPossible(
            _("The record %(code)s is not in the sample for second marking.") % {"code": sample.code}
        )
    return marking


def _open_for(sample, who):
    """The record and its second marking, held, where this person may give second marks now."""
    record, marking = record_closed(sample), _marking(sample)
    if marking.marker_id != who.pk or not may_mark(sample.exam, who):
        raise NotPossible(
            _("Another person marks the record %(code)s a second time.") % {"code": sample.code}
        )
    if marking.finished_at and row_or_404(sample, who).done:
        raise NotPossible(
            _("Your second marking of %(code)s is finished; differences are settled by the moderator.")
            % {"code": sample.code}
        )
    return record, marking
