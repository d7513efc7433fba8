"""The rows of the two big pages, each with its form and what became of it, saved singly or all together."""

from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from examkit.errors import ChangedMeanwhile, ExamkitError
from examkit.knowledge import knowledge
from grading.errors import GradingError
from grading.marking import awarding, services
from grading.marking.forms import REASON_LIMIT, AwardForm, form_of_line
from grading.marking.parts import RESULT
from grading.marking.selectors import LineView, PartView, line_views
from grading.scoring.outcomes import choices


@dataclass
class EntryRow:
    """A line on the entry page."""

    view: LineView
    form: object
    picks: tuple = ()
    theirs: object = None
    problem: str = ""
    saved: bool = False
    typed: dict = field(default_factory=dict)

    @property
    def observation(self):
        """What the field shows: the words just typed, else those stored."""
        return self.typed.get("observation", self.view.observation)

    @property
    def inference(self):
        """As `observation`, for the inference."""
        return self.typed.get("inference", self.view.inference)

    @property
    def version(self):
        """The version that a save goes over: that of the page which was refused, until it is looked at."""
        return (self.form["version"].value() or 0) if self.problem else self.view.version

    @property
    def failed(self):
        """Whether the row was not saved."""
        return bool(self.problem)


@dataclass
class AwardRow:
    """A part on the marking page."""

    view: PartView
    form: object = None
    theirs: object = None
    problem: str = ""
    saved: bool = False
    stamp: str = ""  # of the words that the examiner's page still shows
    typed: dict = field(default_factory=dict)

    @property
    def slug(self):
        """The key of the part as an element's id."""
        return self.view.part.key.replace(".", "-")


def entry_row(view, exam, data=None):
    """The row of a line, bound to what was sent where anything was."""
    picks = () if view.test == RESULT else choices(knowledge(exam.centre), exam.scheme, view.test)
    row = EntryRow(view, form_of_line(view.test, data), picks)
    if data is not None:
        row.typed = {name: data.get(f"{view.test}-{name}", "") for name in ("observation", "inference")}
    return row


def save_entry(row, sample, who):
    """Save a row of the record; what went wrong stands in the row afterwards, beside what was typed."""
    if not row.form.is_valid():
        row.problem = _problems(row.form)
        return
    save = services.result_save if row.view.test == RESULT else services.line_save
    more = {} if row.view.test == RESULT else {"test": row.view.test}
    try:
        save(sample=sample, who=who, **more, **row.form.words())
    except ChangedMeanwhile as problem:
        row.problem, row.theirs = str(problem), problem.theirs
    except (ExamkitError, GradingError) as problem:
        row.problem = str(problem)
    else:
        row.saved = True


def award_row(view, step_marks, data=None):
    """The row of a part, bound to what was sent where anything was."""
    key = view.part.key
    row = AwardRow(view, AwardForm(data, part=view.part, step_marks=step_marks))
    if data is not None:
        row.typed = {name: data.get(f"{key}-{name}", "") for name in ("marks", "reason")}
    return row


def save_award(row, sample, who, *, accept=False, other=None, give=awarding.award_set):
    """Give the mark of a row; with `accept` the suggested one, with `other` that of this other reading, whose
    reason is the examiner's where none was typed. An empty row is left as it is. `give` is the service."""
    if not row.form.is_valid():
        row.problem = _problems(row.form)
        return
    clean = row.form.cleaned_data
    steps, reason = row.view.part.steps if accept else clean["marks"], clean["reason"]
    if other is not None and other < len(row.view.part.other):
        steps, why = row.view.part.other[other]
        reason = reason or (_("Read otherwise: %(why)s") % {"why": why})[:REASON_LIMIT]
    elif _back(row.view, steps, reason):
        reason = ""
    if steps is None or _unchanged(row.view, steps, reason):
        return
    try:
        give(
            sample=sample,
            part=row.view.part.key,
            steps=steps,
            reason=reason,
            version=clean["version"],
            stamp=clean["stamp"],
            who=who,
        )
    except ChangedMeanwhile as problem:
        row.problem, row.theirs = str(problem), problem.theirs
    except (ExamkitError, GradingError) as problem:
        row.problem = str(problem)
    else:
        row.saved = True


def _back(view, steps, reason):
    """Whether a mark goes back to the suggested one with the reason that another had: it says nothing now."""
    award = view.award
    return bool(award) and steps == view.part.steps != award.steps and reason.strip() == award.reason


def award_rows(suggestions, views, data=None):
    """The rows of a record's parts by key, bound to what was sent."""
    return {view.part.key: award_row(view, suggestions.step_marks, data) for view in views}


def sheet(record, expected, suggestions, rows, views):
    """What the marking page shows of a record: lines that the program is not sure of, the others, and what
    was written outside the marks; `rows` are brought up to date with the `views` of its parts."""
    for key, fresh in award_rows(suggestions, views).items():
        rows.setdefault(key, fresh).view = fresh.view
    found = line_views(record, expected, views)
    lines = [(view, [rows[part.part.key] for part in view.parts]) for view in found]
    return {
        "suggestions": suggestions,
        "unsure": [line for line in lines if line[0].unsure],
        "sure": [line for line in lines if line[1] and not line[0].unsure],
        "beside": [view for view, parts in lines if not parts and (view.observation or view.inference)],
    }


def other_reading(data, part):
    """The number of the other reading that was taken for a part, or None."""
    key, _dash, number = data.get("other", "").rpartition(":")
    return int(number) if key == part and number.isascii() and number.isdigit() and len(number) < 4 else None


def _unchanged(view, steps, reason):
    return view.current and (view.award.steps, view.award.reason) == (steps, reason.strip())


def _problems(form):
    said = [str(message) for messages in form.errors.values() for message in messages]
    return " ".join(said) or _("This could not be read.")
