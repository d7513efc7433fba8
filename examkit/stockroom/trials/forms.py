"""The form of an amendment: what was seen at each step of one facet, in words that marking can compare."""

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Column, Fieldset, Layout, Row, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.knowledge.model import Outcome
from examkit.own.forms.outcome import TEXTS, step_fields

BLANK = dict.fromkeys(TEXTS)


class AmendForm(forms.Form):
    """What is also accepted for the samples of this bottle, filled with what is expected."""

    why = forms.CharField(
        label=_("Reason"), max_length=300,
        help_text=_("It stands in the audit trail and beside the expected record."))

    def __init__(self, *args, facet_title, seen, **more):
        super().__init__(*args, **more)
        self.seen = seen
        for number, outcome in enumerate(seen):
            self.fields |= step_fields(number, outcome)
        steps = [self._step(number, outcome.step or facet_title) for number, outcome in enumerate(seen)]
        self.helper = FormHelper()
        self.helper.attrs = {"data-guard": ""}
        self.helper.layout = Layout(*steps, "why", Submit("save", _("Accept this for the bottle")))

    def _step(self, number, title):
        name = "{}-{}".format
        return Fieldset(
            title, Row(Column(name(number, "event")), Column(name(number, "colours"))),
            Row(*(Column(name(number, text)) for text in ("texture", "product"))),
            Row(*(Column(name(number, text)) for text in ("gas", "smell"))), name(number, "also_seen"))

    def outcomes(self):
        """What is accepted, as an expected record has it."""
        return [
            BLANK | {"step": each.step, "event": self.cleaned_data[f"{number}-event"],
                     "colours": self.cleaned_data[f"{number}-colours"]}
            | {text: self.cleaned_data[f"{number}-{text}"] or None for text in TEXTS}
            for number, each in enumerate(self.seen)
        ]


def expected_outcomes(line, facet, steps):
    """The outcomes of a facet that a line expects; "nothing" at its first step where there is none."""
    fields = Outcome.__dataclass_fields__
    seen = [Outcome(**{key: value for key, value in each.items() if key in fields} | {
        "colours": tuple(each["colours"])}) for each in line["seen"] if each["facet"] == facet]
    return seen or [Outcome("none", step=steps[0] if steps else "")]
