"""Results as the rows of text that the exports write."""

from django.utils.translation import gettext as _

from examkit.models import State
from grading.marking.marks import marks_text
from grading.marking.states import RecordState
from grading.marking.words import stage_label
from grading.moderation.selectors import stages

WORDS_BEFORE_MARKS = 5  # number, name, class, code, salt


def rows(exam, found):
    """A head, and a row for each candidate: marks in plain digits, numbers and names as in the class list."""
    named = stages(found)
    head = [
        _("Candidate number"),
        _("Name"),
        _("Class"),
        _("Sample code"),
        _("Salt"),
        *(_("Marks: %(stage)s") % {"stage": stage_label(stage)} for stage in named),
        _("Total"),
        _("Out of"),
        _("Per cent"),
        _("Record"),
        _("Status"),
    ]
    return [head, *(_row(exam, result, named) for result in found)]


def numbers(found):
    """The columns of `rows` that hold numbers: marks by stage, total, out of, per cent."""
    return range(WORDS_BEFORE_MARKS, WORDS_BEFORE_MARKS + len(stages(found)) + 3)


def status(exam):
    """Whether results are released."""
    return _("released") if exam.state == State.RELEASED else _("provisional")


def _row(exam, result, named):
    def marks(steps):
        return "" if steps is None else marks_text(steps, result.step_marks)

    return [
        result.number,
        result.name,
        result.group,
        result.code,
        result.salt,
        *(marks(result.stages.get(stage)) for stage in named),
        marks(result.steps),
        marks(result.out_of),
        "" if result.percent is None else str(result.percent),
        str(RecordState(result.state).label),
        status(exam),
    ]
