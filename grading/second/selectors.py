"""What is drawn for second marking, how far it is, how far markers agree, and what is left to settle."""

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

from django.db.models import Q
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.models import Part, Role, State, User
from grading.analysis.agreement import ENOUGH, agreement
from grading.marking.parts import stored
from grading.marking.selectors import part_views
from grading.marking.words import stage_label
from grading.models import Record, SecondDraw, SecondMark, SecondMarking, SecondRules
from grading.second.choice import Entry, choose

OPEN = (State.SAT, State.MARKED)  # while records are marked a second time and differences settled
MARKS = (Role.EXAMINER, Role.MODERATOR)  # the roles that admit to second marking


@dataclass(frozen=True)
class Difference:
    """A part that has two different marks, or had until it was settled; `title` is its test's."""

    mark: SecondMark
    award: object
    allowed: int  # steps that may stand

    @property
    def settled(self):
        """Whether the mark that counts is the one that was decided on."""
        return self.mark.settled_steps is not None and self.mark.settled_steps == self.award.steps

    @property
    def open(self):
        """Whether the mark that counts is further than allowed from what was decided, or given second."""
        wanted = self.mark.steps if self.mark.settled_steps is None else self.mark.settled_steps
        return abs(self.award.steps - wanted) > self.allowed


@dataclass(frozen=True)
class Row:
    """A record that is marked a second time."""

    marking: SecondMarking
    allowed: int

    @property
    def code(self):
        """Its sample code."""
        return self.marking.record.sample.code

    @cached_property
    def views(self):
        """Its parts with the second marks."""
        return part_views(self.marking.record, self.marking.marks.all())

    @property
    def given(self):
        """How many parts have a second mark for what is written now."""
        return sum(view.current for view in self.views)

    @property
    def again(self):
        """Whether it was finished, but words or suggestions changed since."""
        return self.marking.finished_at is not None and self.given < len(self.views)

    @property
    def done(self):
        """Whether all its parts were marked a second time, as they stand now."""
        return self.marking.finished_at is not None and not self.again

    @cached_property
    def differences(self):
        """The parts that were marked differently, settled or not; none before both are known."""
        awards = {award.part: award for award in self.marking.record.awards.all()}
        pairs = [(view.award, awards.get(view.part.key)) for view in self.views] if self.done else []
        found = [Difference(mark, award, self.allowed) for mark, award in pairs if award]
        return [each for each in found if each.open or each.mark.first_steps != each.mark.steps]

    @property
    def unsettled(self):
        """How many differences are still to be settled."""
        return sum(each.open for each in self.differences)

    @property
    def told(self):
        """How far it is, in words."""
        if self.again:
            return _("changed since: to be marked again")
        if not self.done:
            return _("%(given)d of %(all)d parts marked") % {"given": self.given, "all": len(self.views)}
        if self.unsettled:
            return ngettext("%(n)d difference to settle", "%(n)d differences to settle", self.unsettled) % {
                "n": self.unsettled
            }
        return _("differences settled") if self.differences else _("agreed")


def rows(exam, marker=None):
    """The records of an exam that are marked a second time, by code; of one marker where one is given."""
    found = SecondMarking.objects.filter(record__sample__exam=exam)
    found = found.filter(marker=marker) if marker else found
    found = found.select_related("record__sample", "marker").prefetch_related(
        "marks__first_by", "marks__settled_by", "marks__by", "record__awards__by"
    )
    allowed = allowed_steps(exam)
    return [Row(marking, allowed) for marking in found]


def row_or_404(sample, marker=None):
    """The second marking of a sample, by this marker where one is given; nobody else's is there."""
    found = SecondMarking.objects.filter(record__sample=sample)
    found = found.filter(marker=marker) if marker else found
    found = found.select_related("record__sample", "record__entered_by", "marker").prefetch_related(
        "marks__by", "marks__first_by", "marks__settled_by", "record__awards__by", "record__lines"
    )
    return Row(get_object_or_404(found), allowed_steps(sample.exam))


def allowed_steps(exam):
    """The difference in one part, in smallest steps, that may stand without settling."""
    rules = SecondRules.objects.filter(exam=exam).first()
    return rules.allowed_steps if rules else 0


def markers(exam):
    """The people who mark a second time in the exam, and may still do so in the centre."""
    return list(
        User.objects.filter(
            duties__exam=exam,
            duties__part=Part.SECOND,
            memberships__centre=exam.centre_id,
            memberships__role__in=MARKS,
        )
        .distinct()
        .order_by("pk")
    )


def may_mark(exam, who):
    """Whether a person still has the part and a role to mark a second time."""
    held = exam.centre.memberships.filter(user=who, role__in=MARKS)
    return exam.duties.filter(user=who, part=Part.SECOND).exists() and held.exists()


def entries(exam, **which):
    """The finished records of an exam, or `which` of them, as they are chosen from; all were handed in."""
    records = Record.objects.filter(sample__exam=exam, finished=True, absent=False, **which)
    records = records.select_related("sample").defer("paper").prefetch_related("awards")
    return [entry_of(record) for record in records]


def entry_of(record):
    """A record as it is chosen from."""
    firsts = tuple(sorted({award.by_id for award in record.awards.all()}))
    return Entry(record.sample.code, record.sample.salt, record.sample.sitting_id, firsts)


def draws(exam):
    """The draws of an exam, the first one first."""
    return exam.second_draws.select_related("by")


def drawn_again(draw):
    """What a draw chose, drawn again from what is kept of it: [(code, marker)]."""
    told = draw.chosen_from
    already = [(_entry(entry), marker) for entry, marker in told["already"]]
    return choose(map(_entry, told["entries"]), told["markers"], told["size"], draw.seed, already)


def _entry(told):
    code, salt, sitting, firsts = told
    return Entry(code, salt, sitting, tuple(firsts))


@dataclass(frozen=True)
class Line:
    """One line of the table of agreement."""

    title: str
    records: int
    found: object
    step_marks: str

    @property
    def leaning(self):
        """How many steps the second marker gave more than the first, in a record, to a tenth."""
        return self.found.lean / self.records if self.records else 0


def agreed(found):
    """[(title, lines)] of the table of agreement: all, by stage, by pair of markers; [] for none."""
    marks = [(row, view.part.stage, view.award) for row in found if row.done for view in row.views]
    if not marks:
        return []
    by_stage, by_pair = defaultdict(list), defaultdict(list)
    for each in marks:
        _row, stage, mark = each
        by_stage[stage_label(stage)].append(each)
        by_pair[_("%(first)s, then %(second)s") % {"first": mark.first_by, "second": mark.by}].append(each)
    return [
        ("", [_line(_("all"), marks)]),
        (_("By stage"), [_line(*each) for each in by_stage.items()]),
        (_("By pair of markers"), [_line(*each) for each in sorted(by_pair.items())]),
    ]


def _line(title, marks):
    codes = {row.code for row, _stage, _mark in marks}
    triples = [(mark.first_steps, mark.steps, mark.out_of_steps) for _row, _stage, mark in marks]
    return Line(title, len(codes), agreement(triples), marks[0][2].suggestion["step_marks"])


def missing_before_release(exam):
    """What second marking still asks for before a release, as sentences (settings.EXAM_CONDITIONS asks)."""
    if not SecondDraw.objects.filter(exam=exam).exists():
        return []
    found = rows(exam)
    waiting, unsettled = [row for row in found if not row.done], [row for row in found if row.unsettled]
    told = [_waiting(len(waiting)) % _some(waiting)] if waiting else []
    return told + ([_unsettled(len(unsettled)) % _some(unsettled)] if unsettled else [])


def _waiting(n):
    return ngettext(
        "%(n)d record is not marked a second time yet (%(codes)s). Its second marker does that under "
        "“%(where)s”, or it is taken out of the sample there, with a reason.",
        "%(n)d records are not marked a second time yet (%(codes)s). Their second markers do that under "
        "“%(where)s”, or they are taken out of the sample there, with a reason.",
        n,
    )


def _unsettled(n):
    return ngettext(
        "The marks of %(n)d record differ between first and second marker (%(codes)s). The moderator "
        "settles them under “%(where)s”, or the teacher lets small differences stand there.",
        "The marks of %(n)d records differ between first and second marker (%(codes)s). The moderator "
        "settles them under “%(where)s”, or the teacher lets small differences stand there.",
        n,
    )


def _some(found, most=5):
    codes = ", ".join(row.code for row in found[:most]) + ("…" if len(found) > most else "")
    return {"n": len(found), "codes": codes, "where": _("Second marking")}


def next_to_settle(exam, after=""):
    """The address of the next record with a difference to settle: after this code, then from the start."""
    codes = [row.code for row in rows(exam) if row.unsettled]
    code = next(iter([code for code in codes if code > after] + codes), None)
    return code and reverse("second:settle", args=[exam.pk, code])


def other_moderator(exam, mark):
    """A moderator of the centre who gave neither mark, or None."""
    party = Q(user=mark.by_id) | Q(user=mark.first_by_id)
    others = exam.centre.memberships.filter(role=Role.MODERATOR).exclude(party).select_related("user")
    return next((membership.user for membership in others), None)


def step_of(exam):
    """The smallest step of marks of the exam's records, as text; None before any was read."""
    record = Record.objects.filter(sample__exam=exam).exclude(paper={}).first()
    return stored(record.paper).step_marks if record else None


def enough():
    """How many marks there must be before figures are given."""
    return ENOUGH
