"""What the examiner's pages show: by sample code, never with a candidate's name, number, class or bench."""

from dataclasses import dataclass, field
from datetime import timedelta

from django.db.models import Count, Exists, OuterRef
from django.db.models.fields.json import KeyTextTransform, KeyTransform
from django.shortcuts import get_object_or_404
from django.utils import timezone

from examkit.access import exam_or_404
from examkit.knowledge import knowledge
from examkit.models import Sample
from grading.marking.blind import hidden_codes
from grading.marking.parts import RESULT, Part, per_stage, stored
from grading.marking.states import DONE, RecordState, state_of
from grading.marking.words import stage_label
from grading.models import Award, Record, RecordLine

AT_WORK = timedelta(minutes=30)  # since their last mark, before somebody counts as gone


@dataclass(frozen=True)
class Row:
    """One sample in the queue."""

    code: str
    state: RecordState
    lines: int = 0
    marks_given: int = 0
    unsure: int = 0
    steps: int | None = None
    out_of: int | None = None
    step_marks: str = "1"


@dataclass(frozen=True)
class PartView:
    """A part on the marking page: the suggestion and, where given, the award."""

    part: Part
    award: Award | None

    @property
    def current(self):
        """Whether it has a mark for what is written now."""
        return self.award is not None and is_current(self.award, self.part)

    @property
    def doubts(self):
        """Why the program is not sure of it, each reason once."""
        return tuple(dict.fromkeys(self.part.doubts))


@dataclass(frozen=True)
class LineView:
    """One line on the pages of a record: what was expected, what was written, and its parts."""

    test: str
    title: str
    stage: str
    expected: dict = field(default_factory=dict)
    observation: str = ""
    inference: str = ""
    version: int = 0
    parts: tuple[PartView, ...] = ()

    @property
    def done(self):
        """Whether the test belongs to this salt's record, and so gets marks."""
        return self.expected.get("done", True)

    @property
    def unsure(self):
        """Whether the program is not sure of a part of the line."""
        return any(not view.part.sure for view in self.parts)


def sample_or_404(request, pk, code):
    """The sample with this code, in an exam of the centre of the person who asks."""
    exam = exam_or_404(request, pk)
    return get_object_or_404(
        Sample.objects.select_related("exam__centre").defer("candidate", "bench"), exam=exam, code=code
    )


def queue(exam, who):
    """Every sample of the exam by code, with its state, and its marks where `who` may see them."""
    samples = (
        Sample.objects.filter(exam=exam).order_by("code").select_related("record").defer("record__paper")
    )
    samples = samples.annotate(
        unsure=KeyTextTransform("unsure", "record__paper"),
        out_of=KeyTextTransform("out_of", "record__paper"),
        step_marks=KeyTextTransform("step_marks", "record__paper"),
        caps=KeyTransform("caps", "record__paper"),
        given=Count("record__awards", distinct=True),
    )
    samples = list(samples)
    written = _words_per_sample(exam)
    steps, hidden = _steps_per_sample(exam, {one.pk: one.caps for one in samples}), hidden_codes(exam.pk, who)
    return [
        _row(sample, written.get(sample.pk, 0), None if sample.code in hidden else steps.get(sample.pk))
        for sample in samples
    ]


def unfinished_codes(exam):
    """The codes of the samples whose record is not closed, in the order of the queue."""
    closed = Record.objects.filter(sample=OuterRef("pk"), finished=True)
    return list(
        Sample.objects.filter(~Exists(closed), exam=exam).order_by("code").values_list("code", flat=True)
    )


def next_code(exam, after=""):
    """The next code whose record is not closed: after the given one, then from the start; None at the end."""
    codes = unfinished_codes(exam)
    later = [code for code in codes if code > after]
    return next(iter(later + [code for code in codes if code != after]), None)


def record_of(sample):
    """The record of a sample with its lines and awards, or None."""
    return (
        Record.objects.filter(sample=sample)
        .prefetch_related("lines", "awards__by")
        .select_related("entered_by")
        .first()
    )


def line_views(record, expected, parts=None):
    """Every line of the scheme in its order, then the result, as the pages show them; with the `parts` of the
    record where they are not those with its awards."""
    written = {line.test: line for line in record.lines.all()} if record else {}
    parts = part_views(record) if parts is None else parts
    views = [_line_view(line, written.get(line["test"]), parts) for line in expected["lines"]]
    return [
        *views,
        LineView(
            RESULT,
            "",
            RESULT,
            expected=_result(expected),
            version=record.version if record else 0,
            observation=record.cation if record else "",
            inference=record.anion if record else "",
            parts=tuple(view for view in parts if view.part.test == RESULT),
        ),
    ]


def part_views(record, marks=None):
    """The parts of a record, each with its award, or its mark of other `marks`."""
    suggestions = stored(record.paper) if record else None
    marks = record.awards.all() if record and marks is None else marks or ()
    given = {mark.part: mark for mark in marks}
    return [PartView(part, given.get(part.key)) for part in suggestions.parts] if suggestions else []


def still_unmarked(record):
    """The parts without a mark for what is written now."""
    return [view.part for view in part_views(record) if not view.current]


def is_current(award, part):
    """Whether an award still speaks about the words and the suggestion that stand there now."""
    return award.suggestion.get("stamp") == part.stamp


def ion_words(exam):
    """(cations, anions) of the syllabus with their names, to pick from."""
    kb = knowledge(exam.centre)
    scheme = kb.schemes[exam.scheme]
    return tuple([(ion, kb.ions[ion].name) for ion in ions] for ions in (scheme.cations, scheme.anions))


def totals(record, who=None):
    """What a record comes to so far, and who gave marks to it just now beside the person who looks."""
    suggestions = stored(record.paper) if record else None
    if suggestions is None:
        return None
    return totals_of(suggestions, part_views(record)) | {"beside": _beside(record, who)}


def totals_of(suggestions, views):
    """What the marks of some parts come to."""
    marked = [view for view in views if view.current]
    given = {view.part.key: view.award.steps for view in marked}
    return {
        "steps": sum(suggestions.given(given).values()),
        "marked": len(marked),
        "parts": len(suggestions.parts),
        "out_of": suggestions.out_of,
        "step_marks": suggestions.step_marks,
        "unsure": len(suggestions.unsure),
        "full": full_stages(suggestions, given),
    }


def _beside(record, who):
    """The latest mark of somebody else in an open record, where it is so fresh that both are at work."""
    if record.finished:
        return None
    since = timezone.now() - AT_WORK
    others = [award for award in record.awards.all() if who and award.by_id != who.pk and award.at > since]
    return max(others, key=lambda award: award.at, default=None)


def full_stages(suggestions, given):
    """(name, most steps) of the stages where the marks given come to more than the cap lets count."""
    return [(stage_label(stage), cap) for stage, cap in suggestions.full_stages(given)]


def counts(rows):
    """How many samples are in each state, for the filter."""
    return [(state, sum(row.state == state for row in rows)) for state in RecordState]


def is_done(row):
    """Whether nothing is left to do for this sample."""
    return row.state in DONE


def _row(sample, lines, steps):
    record = getattr(sample, "record", None)
    return Row(
        code=sample.code,
        state=state_of(record, sample.given),
        lines=lines,
        marks_given=sample.given,
        unsure=int(sample.unsure or 0),
        steps=steps,
        step_marks=sample.step_marks or "1",
        out_of=int(sample.out_of) if sample.out_of else None,
    )


def _words_per_sample(exam):
    lines = RecordLine.objects.filter(record__sample__exam=exam).exclude(observation="", inference="")
    return dict(lines.values_list("record__sample").annotate(n=Count("pk")).order_by())


def _steps_per_sample(exam, caps):
    """{sample: steps given}; `caps` are those of the mark scheme of each sample's record."""
    awards = Award.objects.filter(record__sample__exam=exam)
    awards = awards.annotate(stage=KeyTextTransform("stage", "suggestion"))
    given = {}
    for sample, stage, steps in awards.values_list("record__sample", "stage", "steps"):
        given.setdefault(sample, []).append((stage, steps))
    return {sample: sum(per_stage(pairs, caps[sample] or {}).values()) for sample, pairs in given.items()}


def _line_view(line, written, parts):
    return LineView(
        test=line["test"],
        title=line.get("title", line["test"]),
        stage=line["stage"],
        expected=line,
        observation=written.observation if written else "",
        inference=written.inference if written else "",
        version=written.version if written else 0,
        parts=tuple(view for view in parts if view.part.test == line["test"]),
    )


def _result(expected):
    return {"done": True, "cations": expected["cations"], "anions": expected["anions"]}
