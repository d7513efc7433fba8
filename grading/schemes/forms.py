"""The form of a mark scheme: made from the keys that the scorer knows, so that a new one has its field."""

from dataclasses import dataclass

from crispy_forms.helper import FormHelper
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.own.forms.base import OwnForm, Words
from grading.errors import GradingError
from grading.schemes.labels import LEVELS, PARTS, SECTIONS, STAGES, label, value_label
from grading.schemes.values import in_marks, is_share, steps_of
from grading.scoring import mark_scheme as known

STEPS = (("1", _("whole marks")), ("0.5", _("half marks")), ("0.25", _("quarter marks")))
KINDS = {"cation": _("cation"), "anion": _("anion")}
LINE = ("observation", "inference")
WEIGHTS = 1000


class CopyForm(OwnForm):
    """Which mark scheme is copied, and what the copy is called."""

    marking = forms.ChoiceField(label=_("Mark scheme to copy"))
    title = forms.CharField(label=_("Title of your mark scheme"), max_length=120)

    def __init__(self, *args, kb, **more):
        super().__init__(*args, **more)
        self.fields["marking"].choices = [
            (key, each.get("title", key)) for key, each in kb.mark_schemes.items()]
        self.helper.layout.fields[:0] = ["marking", "title"]


class Marks(forms.CharField):
    """A number of marks, as text: what it is in steps depends on another field."""

    def __init__(self, label, **more):
        super().__init__(label=label, required=False, max_length=12, **more)
        self.widget.attrs |= {"inputmode": "decimal", "aria-label": label, "class": "marks-in"}


@dataclass(frozen=True)
class TestRow:
    """A test as a line of the table: its own marks, and how it is judged otherwise than others."""

    __test__ = False  # pytest: this is not a test class

    title: str
    stage: str
    marks: tuple
    any_facet: object = None
    enough: object = None
    optional: object = None


class MarkSchemeForm(OwnForm):
    """All rules of a mark scheme; `data_of_entry` is what is stored once it is clean."""

    title = forms.CharField(label=_("Title"), max_length=120)
    step_marks = forms.ChoiceField(label=_("Smallest step"), choices=STEPS)

    def __init__(self, data=None, *, kb, entry, **more):
        self.kb, self.old = kb, known.completed(entry.data["marking"])
        super().__init__(data, **more)
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.initial |= {"title": self.old["title"], "why": entry.why, "version": entry.version}
        self._step()
        self._marks()
        self._tests()
        self._rules()
        self.initial |= in_marks(self.old)

    # ---- fields ----
    def _step(self):
        """A step that is not offered is offered where the stored scheme has it."""
        step = str(self.old["step_marks"])
        if step not in dict(STEPS):
            self.fields["step_marks"].choices = [*STEPS, (step, step)]
        self.initial["step_marks"] = step

    def _marks(self):
        for stage, title in STAGES.items():
            for part in LINE:
                self.fields[f"stage-{stage}-{part}"] = Marks(f"{title}: {label(None, part)}")
            self.fields[f"cap-{stage}"] = Marks(_("%(stage)s: at most") % {"stage": title})
        for kind, title in KINDS.items():
            self.fields[f"result-{kind}"] = Marks(title)
        self.fields["safety"] = Marks(_("Safe working"), help_text=_("Given by a person only."))

    def _tests(self):
        observation = self.old["observation"]
        for key, test in self.kb.tests.items():
            for part in LINE:
                self.fields[f"test-{key}-{part}"] = Marks(f"{test.title}: {label(None, part)}")
            if len(test.facets) < 2:
                continue
            self._add(f"any-{key}", forms.BooleanField(label=_("%(test)s: one part is enough") % {
                "test": test.title}), key in observation["any_facet"])
            self._add(f"optional-{key}", forms.MultipleChoiceField(
                widget=forms.CheckboxSelectMultiple,
                label=_("%(test)s: need not be said") % {"test": test.title},
                choices=[(facet.key, facet.title) for facet in test.facets.values()]),
                observation["optional_facets"].get(key, []))
        for key, test in self.kb.tests.items():
            self._add(f"enough-{key}", forms.IntegerField(
                label=_("%(test)s: so many outcomes are enough") % {"test": test.title},
                min_value=1, max_value=20),
                observation["enough"].get(key))

    def _add(self, name, field, initial):
        field.required = False
        field.widget.attrs["aria-label"] = field.label
        self.fields[name] = field
        self.initial[name] = initial

    def _rules(self):
        for part in known.PARTS:
            self._add(f"partial-{part}", forms.IntegerField(label=PARTS.get(part, part), min_value=0,
                                                            max_value=WEIGHTS), self.old["partial"][part])
        for name in known.LEVELS:
            said = LEVELS.get(name) or label("", name)
            self._add(f"level-{name}", forms.CharField(label=said, max_length=12),
                      self.old["observation"]["levels"].get(name, "0.5"))
        for (section, key), allowed in known.CHOICES.items():
            value = (self.old[section] if section else self.old).get(key)
            self._add(f"rule-{section}-{key}", forms.TypedChoiceField(
                label=label(section, key), choices=[(str(each), value_label(each)) for each in allowed],
                coerce=dict((str(each), each) for each in allowed).get), str(value))
        for section, key in known.SHARES:
            self._add(f"share-{section}-{key}", forms.CharField(label=label(section, key), max_length=12),
                      self.old[section].get(key))
        for section, key in known.LISTS:
            if key != "any_facet":
                self._add(f"list-{section}-{key}", Words(label=label(section, key)), self.old[section][key])

    # ---- what the page shows ----
    @property
    def stage_rows(self):
        """(title, the two marks, the cap) of each stage."""
        return [(title, [self[f"stage-{stage}-{part}"] for part in LINE], self[f"cap-{stage}"])
                for stage, title in STAGES.items()]

    @property
    def result_fields(self):
        """The marks of the result."""
        return [self[f"result-{kind}"] for kind in KINDS]

    @property
    def test_rows(self):
        """The tests by stage; those with marks or rules of their own are marked so."""
        order = list(STAGES)
        return sorted((self._test_row(key, test) for key, test in self.kb.tests.items()),
                      key=lambda row: order.index(row.stage) if row.stage in order else len(order))

    def _test_row(self, key, test):
        several = f"any-{key}" in self.fields
        return TestRow(test.title, test.stage, tuple(self[f"test-{key}-{part}"] for part in LINE),
                       self[f"any-{key}"] if several else None, self[f"enough-{key}"],
                       self[f"optional-{key}"] if several else None)

    @property
    def weights(self):
        """Weights of the parts of an observation."""
        return [self[name] for name in self.fields if name.startswith("partial-")]

    @property
    def levels(self):
        """What is left of an observation with a fault."""
        return [self[name] for name in self.fields if name.startswith("level-")]

    @property
    def sections(self):
        """(title, fields) of the rules, by section."""
        kinds = ("rule", "share", "list")
        return [(title, [self[name] for name in self.fields
                         if name.startswith(tuple(f"{kind}-{section}-" for kind in kinds))])
                for section, title in SECTIONS.items()]

    @property
    def rounding(self):
        """The rule of rounding."""
        return self["rule-None-rounding"]

    # ---- what comes back ----
    def clean(self):
        """Marks in whole steps, shares from 0 to 1."""
        cleaned, self.steps = super().clean(), {}
        for name, field in self.fields.items():
            value = cleaned.get(name)
            if isinstance(field, Marks) and name not in self.errors:
                self._read_marks(name, value, cleaned.get("step_marks") or "1")
            elif name.startswith(("share-", "level-")) and not is_share((value or "").strip()):
                self.add_error(name, _("A share from 0 to 1, like 0.5 or 1/3."))
        for test in self.kb.tests:
            given = [name for part in LINE if (name := f"test-{test}-{part}") in self.steps]
            if len(given) == 1:
                self.add_error(f"test-{test}-observation", _("Give both marks of a test, or none."))
        return cleaned

    def _read_marks(self, name, typed, step):
        needed = name.startswith(("stage-", "result-"))
        if not typed:
            if needed:
                self.add_error(name, _("Give the marks; 0 for none."))
            return
        try:
            self.steps[name] = steps_of(typed, step)
        except GradingError as problem:
            self.add_error(name, str(problem))

    def data_of_entry(self):
        """The mark scheme as it is stored."""
        cleaned = self.cleaned_data
        found = {"title": cleaned["title"].strip(), "step_marks": cleaned["step_marks"]}
        found["lines"] = {"stages": {stage: self._line(f"stage-{stage}") for stage in STAGES},
                          "tests": {test: self._line(f"test-{test}") for test in self.kb.tests
                                    if f"test-{test}-observation" in self.steps}}
        found["result"] = {kind: self.steps[f"result-{kind}"] for kind in KINDS}
        found["caps"] = {stage: self.steps[f"cap-{stage}"] for stage in STAGES
                         if f"cap-{stage}" in self.steps}
        found["safety"] = self.steps.get("safety", 0)
        found["partial"] = {part: cleaned[f"partial-{part}"] or 0 for part in known.PARTS}
        for section in SECTIONS:
            found[section] = self._section(section)
        found["observation"] |= self._of_tests() | {
            "levels": {name: cleaned[f"level-{name}"].strip() for name in known.LEVELS}}
        found["rounding"] = cleaned["rule-None-rounding"]
        return {"marking": found}

    def _line(self, name):
        return {part: self.steps[f"{name}-{part}"] for part in LINE}

    def _section(self, section):
        """A section with its choices, shares and lists; keys without a field stay as they were."""
        found = dict(self.old[section])
        for kind, keys in (("rule", known.CHOICES), ("share", known.SHARES), ("list", known.LISTS)):
            for place, key in keys:
                name = f"{kind}-{section}-{key}"
                if place == section and name in self.fields:
                    value = self.cleaned_data[name]
                    found[key] = value.strip() if kind == "share" else value
        return found

    def _of_tests(self):
        """What is said per test about observations."""
        cleaned, tests = self.cleaned_data, self.kb.tests
        return {
            "any_facet": [test for test in tests if cleaned.get(f"any-{test}")],
            "enough": {test: cleaned[f"enough-{test}"] for test in tests if cleaned.get(f"enough-{test}")},
            "optional_facets": {test: cleaned[f"optional-{test}"] for test in tests
                                if cleaned.get(f"optional-{test}")},
        }
