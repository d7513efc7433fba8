"""The lines of a record as the bench page and the page of choices show, read and save them."""

from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from examkit.chemistry.bench import titled
from examkit.errors import ChangedMeanwhile, ExamkitError
from grading.entry.choosing.choices import choice_lists, chosen, in_words, words_beside
from grading.errors import GradingError
from grading.marking.forms import LineForm, ResultForm
from grading.marking.parts import RESULT


@dataclass
class Line:
    """A line on a page: what is stored, what can be chosen, and what became of a save."""

    test: str
    title: str
    stage: str
    said: str = ""  # the whole observation as stored
    words: str = ""  # typed beside the choices; of the result: the cation
    inference: str = ""  # of the result: the anion
    chosen: tuple[str, ...] = ()  # keys
    version: int = 0
    lists: tuple = ()
    cautions: tuple = ()
    typed: dict = field(default_factory=dict)  # what was sent and is not stored
    problem: str = ""
    theirs: object = None
    saved: bool = False

    @property
    def filled(self):
        """Whether anything stands there."""
        return bool(self.words.strip() or self.inference.strip() or self.chosen)

    @property
    def stands(self):
        """Whether something was saved before and is there still."""
        return self.filled and bool(self.version)

    def shown(self):
        """What the fields hold: what was just sent where that is not stored, else what is stored."""
        stored = {"words": self.words, "inference": self.inference, "chosen": self.chosen,
                  "version": self.version}
        return stored | self.typed

    def as_json(self):
        """What a script needs to know of the line as it is stored."""
        return {"words": self.words, "inference": self.inference, "chosen": list(self.chosen),
                "version": self.version}


class ChoiceForm(LineForm):
    """What was chosen and written for one test."""

    def __init__(self, data, *, kb, scheme, test):
        super().__init__(data, prefix=test)
        self.kb, self.scheme, self.test = kb, scheme, test
        self.keys = data.getlist(f"{test}-choice") if data is not None else []

    def words(self):
        """Observation in words with the choices behind it, inference and version; NotOffered may come."""
        made = chosen(self.kb, self.scheme, self.test, self.keys)
        return super().words() | {"observation": in_words(made, self.cleaned_data["observation"]),
                                  "chosen": [choice.as_json() for choice in made]}


def lines_of(kb, scheme_key, record, *, choices):
    """The lines of a scheme with what a record (or None) says, the result last; `choices`: with the lists."""
    written = {line.test: line for line in record.lines.all()} if record else {}
    scheme, found = kb.schemes[scheme_key], {}
    for stage in scheme.stages:
        test = kb.tests[stage.test]
        lists = choice_lists(kb, scheme_key, test.id) if choices else ()
        line = Line(test.id, titled(stage, test), test.stage, lists=lists, cautions=test.cautions)
        found.setdefault(test.id, _line(line, written.get(test.id)))
    return [*found.values(), _result(record)]


def _line(line, stored):
    if stored is None:
        return line
    made = stored.chosen if line.lists else []
    line.said, line.inference = stored.observation, stored.inference
    line.words = words_beside(line.said, made)
    line.chosen, line.version = tuple(choice["key"] for choice in made), stored.version
    return line


def _result(record):
    if record is None:
        return Line(RESULT, "", RESULT)
    return Line(RESULT, "", RESULT, said=record.cation, words=record.cation, inference=record.anion,
                version=record.version)


def form_of(line, data, *, kb, scheme):
    """The form of a line, over what was sent."""
    if line.test == RESULT:
        return ResultForm(data, prefix=RESULT)
    if line.lists:
        return ChoiceForm(data, kb=kb, scheme=scheme, test=line.test)
    return LineForm(data, prefix=line.test)


def save_line(line, form, save):
    """Save a line by `save(words)`; what went wrong stands in the line, beside what was sent."""
    data = form.data
    line.typed = {"words": data.get(f"{line.test}-observation", ""),
                  "inference": data.get(f"{line.test}-inference", ""),
                  "chosen": tuple(data.getlist(f"{line.test}-choice")),
                  "version": data.get(f"{line.test}-version", line.version)}
    if not form.is_valid():
        said = [str(message) for messages in form.errors.values() for message in messages]
        line.problem = " ".join(said) or _("This could not be read.")
        return
    try:
        stored = save(form.words())
    except ChangedMeanwhile as problem:
        line.problem, line.theirs = str(problem), problem.theirs
    except (ExamkitError, GradingError) as problem:
        line.problem = str(problem)
    else:
        line.saved, line.version, line.typed = True, stored.version, {}


def theirs_of(line):
    """What is stored of a line that could not be saved, for a script: as `Line.as_json`."""
    if line.test == RESULT:
        return _result(line.theirs).as_json()
    return _line(Line(line.test, line.title, line.stage, lists=line.lists), line.theirs).as_json()


def differs(line, form):
    """Whether a form says anything else than what is stored; a page of many lines saves only those."""
    data, test = form.data, line.test
    if f"{test}-version" not in data:
        return False  # the line was not on the page that sent this
    keys = {key for key in data.getlist(f"{test}-choice") if key and key != "words"}
    sent = (_plain(data.get(f"{test}-observation", "")), _plain(data.get(f"{test}-inference", "")), keys)
    return sent != (line.words, line.inference, set(line.chosen)) or f"{test}-replace" in data


def _plain(text):
    return text.replace("\r\n", "\n")


