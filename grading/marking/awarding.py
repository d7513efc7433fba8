"""Services for marks: a suggestion becomes a mark only here, by a person's act that the trail keeps."""

from dataclasses import asdict

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile
from grading.errors import NoSuchMark, NotPossible, ReasonNeeded
from grading.marking.parts import stored
from grading.marking.selectors import is_current
from grading.marking.services import about, needed, record_closed, record_for_writing
from grading.models import Award


@transaction.atomic
def award_set(*, sample, part, steps, reason, version, stamp, who):
    """Give a part its marks; a mark that is not the suggested one needs a reason.

    `version` is that of the award on the examiner's page (0 where it had none), `stamp` that of the part:
    words or a suggestion that changed meanwhile are never marked unseen.
    """
    record = record_for_writing(sample)
    found = part_of(record, part)
    old = record.awards.filter(part=part).first()
    check(found, steps, reason, stamp)
    if old and (old.steps, old.reason) == (steps, reason.strip()) and is_current(old, found):
        return old
    same_version(old, version)
    award = _write(record, found, steps, reason.strip(), who, old)
    audit.record(
        centre=sample.exam.centre,
        who=who,
        what="mark changed" if old else "mark given",
        about=about(sample),
        detail=change(found, award, old),
    )
    return award


@transaction.atomic
def award_settle(*, sample, part, steps, reason, version, stamp, who, marks):
    """Give a part of a finished record the mark that settles two different ones, always with a reason.

    `marks` says for the trail which ones. Settling anew replaces it, as giving another mark does.
    """
    record, reason = record_closed(sample), needed(reason)
    found, old = part_of(record, part), record.awards.filter(part=part).first()
    check(found, steps, reason, stamp)
    same_version(old, version)
    award = _write(record, found, steps, reason, who, old)
    audit.record(centre=sample.exam.centre, who=who, what="difference settled", about=about(sample),
                 detail=change(found, award, old) | marks)
    return award


@transaction.atomic
def awards_accept_sure(*, sample, digest, who):
    """Take over, as one act, every sure suggestion for the parts that have no mark yet."""
    record = record_for_writing(sample)
    suggestions = _suggestions(record)
    if suggestions.digest != digest:
        raise ChangedMeanwhile(
            _("The record or its suggestions changed since this page was shown. Look at it again.")
        )
    given = set(record.awards.values_list("part", flat=True))
    parts = [part for part in suggestions.parts if part.sure and part.key not in given]
    awards = [_write(record, part, part.steps, "", who, None) for part in parts]
    if awards:
        audit.record(
            centre=sample.exam.centre,
            who=who,
            what="sure suggestions accepted",
            about=about(sample),
            detail={"marks": [change(part, award, None) for part, award in zip(parts, awards, strict=True)]},
        )
    return awards


def same_version(old, version):
    """Refuse a mark over one that the page did not show."""
    if version != (old.version if old else 0):
        raise ChangedMeanwhile(
            _("Somebody gave this part a mark in the meantime: both are shown."), theirs=old
        )


def check(part, steps, reason, stamp):
    """Refuse marks that the part cannot have, that lack their reason, or that are for other words."""
    if part.stamp != stamp:
        raise ChangedMeanwhile(
            _("What is written here, or its suggestion, changed since this page was shown. Look at it again.")
        )
    if not 0 <= steps <= part.out_of:
        raise NoSuchMark(_("Marks for this part go from 0 to its full marks."))
    if steps != part.steps and not reason.strip():
        raise ReasonNeeded(_("This is not the suggested mark: say why."))


def _write(record, part, steps, reason, who, old):
    values = values_of(record, part, steps, reason, who, old)
    award, _new = Award.objects.update_or_create(record=record, part=part.key, defaults=values)
    return award


def values_of(record, part, steps, reason, who, old):
    """The fields of a mark, an award or another: what was given, and what was suggested by which rules."""
    return {
        "steps": steps,
        "out_of_steps": part.out_of,
        "suggested_steps": part.steps,
        "reason": reason,
        "by": who,
        "edition": record.paper["edition"],
        "version": old.version + 1 if old else 1,
        "suggestion": asdict(part)
        | {
            "stamp": part.stamp,
            "read_with": record.paper["read_with"],
            "mark_scheme": record.paper["mark_scheme"],
            "step_marks": record.paper["step_marks"],
        },
    }


def change(part, award, old):
    """One change of a mark for the trail: from, to, out of, suggested, in steps; and why."""
    return {
        "part": part.key,
        "from": old.steps if old else None,
        "to": award.steps,
        "out_of": part.out_of,
        "suggested": part.steps,
        "why": award.reason or "as suggested",
        "step_marks": award.suggestion["step_marks"],
        "edition": award.edition,
    }


def part_of(record, key):
    """The part with this key, as suggested; refused where the record has none."""
    found = _suggestions(record).part(key)
    if found is None:
        raise NoSuchMark(_("The record has no part “%(part)s” that gets marks.") % {"part": key[:80]})
    return found


def _suggestions(record):
    if not record.paper:
        raise NotPossible(
            _("Nothing has been entered under the code %(code)s yet.") % {"code": record.sample.code}
        )
    return stored(record.paper)
