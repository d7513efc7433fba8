"""What another mark scheme would change, record by record and by sample code, before anything is done."""

import hashlib
import json
from dataclasses import dataclass
from fractions import Fraction

from examkit.knowledge import knowledge
from grading.marking.marks import marks_text
from grading.marking.parts import stored
from grading.marking.selectors import is_current
from grading.schemes.foresight import sights


@dataclass(frozen=True)
class Sum:
    """Marks in steps, out of so many, in steps of so much."""

    steps: int
    out_of: int
    step_marks: str

    def __str__(self):
        return f"{marks_text(self.steps, self.step_marks)}/{marks_text(self.out_of, self.step_marks)}"


@dataclass(frozen=True)
class Effect:
    """One record under both mark schemes: suggested before and then, and the marks given that would go."""

    record: int
    code: str
    before: Sum
    then: Sum
    given: int  # marks that were given and count now
    lost: int  # of these, so many would have to be given again
    parts: int  # whose suggestion would be another
    finished: bool
    opens: bool  # finished, and would have to be marked again

    @property
    def other_marks(self):
        """Whether other marks would be suggested."""
        return bool(self.parts) or str(self.before) != str(self.then)

    @property
    def changes(self):
        """Whether anything would be otherwise."""
        return bool(self.other_marks or self.lost or self.opens)

    def told(self):
        """For the trail: marks before and then, and how many marks go."""
        return {"before": str(self.before), "then": str(self.then), "again": self.lost}


def mark_schemes(exam):
    """(key, title) of every mark scheme that the exam could get."""
    schemes = knowledge(exam.centre).mark_schemes
    return [(key, each.get("title", key)) for key, each in schemes.items() if key != exam.mark_scheme]


def effects(exam, key, found=None):
    """What the mark scheme of this key would change, for every record that was handed in, by code; `found`
    are the sights of its records, where somebody has them."""
    found = sights(exam, key) if found is None else found
    return [_effect(sight.record, sight.known(key)) for sight in found]


def lost(record, fresh):
    """The awards of a record that count now and would not under fresh suggestions."""
    return [award for award, steps in counting(record, fresh) if steps is None]


def counting(record, fresh):
    """(award, its steps under fresh suggestions) of every award of a record that counts now.

    An award that speaks of the same words, marks and suggestion is the same mark, in whatever steps they are
    counted; None where it does not, or where its marks are no whole number of steps.
    """
    now = stored(record.paper)
    return [(award, _steps_then(award, now, fresh)) for award in record.awards.all() if _counts(award, now)]


def opens(record, fresh):
    """Whether a finished record must be marked again: a mark goes, or a part comes that has none."""
    given = {award.part for award in record.awards.all()}
    return record.finished and bool(lost(record, fresh) or {part.key for part in fresh.parts} - given)


def digest(exam, key, found):
    """Names what was shown: it changes with every word, suggestion, mark and rule behind it."""
    rules = knowledge(exam.centre).mark_schemes[key]
    said = [key, exam.mark_scheme, json.dumps(rules, sort_keys=True, default=str),
            [[e.code, e.told(), e.given, e.parts, e.finished, e.opens] for e in found]]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()


def _steps_then(award, now, fresh):
    old, new = now.part(award.part), fresh.part(award.part)
    if new is None or _said(old, now) != _said(new, fresh):
        return None
    steps = award.steps * Fraction(now.step_marks) / Fraction(fresh.step_marks)
    return int(steps) if steps.denominator == 1 else None


def _said(part, suggestions):
    """What a mark for a part speaks of: the words, the suggestion, the full marks."""
    return (part.written, part.sure, *_marks(part, suggestions))


def _marks(part, suggestions):
    """Suggested and full marks of a part, as numbers."""
    step = Fraction(suggestions.step_marks)
    return part.steps * step, part.out_of * step


def _counts(award, suggestions):
    """Whether an award speaks of these suggestions: the same words, and marks of the same size."""
    part = suggestions.part(award.part)
    same_size = award.suggestion.get("step_marks") == suggestions.step_marks
    return part is not None and same_size and is_current(award, part)


def _effect(record, fresh):
    now = stored(record.paper)
    old = {part.key: _marks(part, now) for part in now.parts}
    new = {part.key: _marks(part, fresh) for part in fresh.parts}
    return Effect(
        record=record.pk, code=record.sample.code, before=_sum(now), then=_sum(fresh),
        given=sum(_counts(award, now) for award in record.awards.all()), lost=len(lost(record, fresh)),
        parts=sum(old.get(part) != new.get(part) for part in old | new), finished=record.finished,
        opens=opens(record, fresh))


def _sum(suggestions):
    return Sum(suggestions.steps, suggestions.out_of, suggestions.step_marks)
