"""What a person's first page shows: their centre's exams, each with the next step for their role."""

from dataclasses import dataclass

from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.models import Exam, Role, State
from examkit.planning.selectors import still_missing


@dataclass(frozen=True)
class Step:
    """What a person has to do next with an exam, and where."""

    exam: Exam
    text: str
    url: str
    missing: tuple[str, ...] = ()


def next_steps(centre, roles, who):
    """What this person has to do next, newest exam first; those that do not wait for them are left out."""
    if centre is None:
        return []
    exams = Exam.objects.filter(centre=centre).annotate(
        codes=Count("samples"), marked=Count("samples", filter=Q(samples__record__finished=True)),
        second=Count("samples", filter=Q(samples__record__second__marker=who,
                                         samples__record__second__finished_at=None)))
    return [step for exam in exams if (step := _step(exam, roles))]


def new_exam_url(roles):
    """Where a teacher plans a new exam; none for the others."""
    return reverse("planning:new") if Role.TEACHER in roles else ""


def _step(exam, roles):
    """The first of the person's roles that has work with the exam gives the step."""
    for role, work in WORK.items():
        if role in roles and (step := work(exam)):
            return step
    return None


def _teacher(exam):
    text = {
        State.DRAFT: _("Fill in what is missing, then draw."),
        State.DRAWN: _("The stock room prepares it. Print the sheets meanwhile."),
        State.PREPARED: _("Ready for the day. When all sittings are over, say so."),
        State.SAT: _("Being marked: %(marked)d of %(codes)d records are finished."),
        State.MARKED: _("Look through the results and release them."),
        State.RELEASED: _("Released. Results can be exported, and the draw checked by anyone."),
    }[exam.state]
    return Step(exam, text % _counts(exam), exam.get_absolute_url(), _missing(exam))


def _assistant(exam):
    text = {
        State.DRAWN: _("Weigh, make up, label, and try the bottles."),
        State.PREPARED: _("Prepared. Bring a spare tube where a second sample is noted; collect the waste."),
    }.get(exam.state)
    return text and Step(exam, text, reverse("stockroom:overview", args=[exam.pk]))


def _second(exam):
    """Second markings hang on records by their reverse name, as records on samples."""
    if not exam.second or exam.state not in (State.SAT, State.MARKED):
        return None
    text = ngettext("Mark %(n)d record a second time, without seeing its first marks.",
                    "Mark %(n)d records a second time, without seeing their first marks.", exam.second)
    return Step(exam, text % {"n": exam.second}, reverse("second:index", args=[exam.pk]))


def _examiner(exam):
    if exam.second:
        return _second(exam)
    if exam.state != State.SAT:
        return None
    text = _("Mark the records by sample code: %(marked)d of %(codes)d are finished.")
    return Step(exam, text % _counts(exam), reverse("marking:index", args=[exam.pk]))


def _moderator(exam):
    if exam.second:
        return _second(exam)
    if exam.state not in (State.SAT, State.MARKED):
        return None
    text = {
        State.SAT: _("Being marked: %(marked)d of %(codes)d records are finished. You can read them."),
        State.MARKED: _("Read the records and their marks by sample code, then release with the teacher."),
    }[exam.state] % _counts(exam)
    return Step(exam, text, reverse("moderation:index", args=[exam.pk]))


def _counts(exam):
    return {"marked": exam.marked, "codes": exam.codes}


def _missing(exam):
    """What is still missing before the exam's next state."""
    return tuple(still_missing(exam)) if exam.state != State.RELEASED else ()


def _invigilator(exam):
    if exam.state != State.PREPARED:
        return None
    text = _("Watch over the sittings: who is there, and what happens.")
    return Step(exam, text, reverse("day:index", args=[exam.pk]))


WORK = {
    Role.TEACHER: _teacher,
    Role.ASSISTANT: _assistant,
    Role.EXAMINER: _examiner,
    Role.MODERATOR: _moderator,
    Role.INVIGILATOR: _invigilator,
}
