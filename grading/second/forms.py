"""Forms of second marking. They check the shape only; what may be done is the services' business."""

from math import ceil

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from grading.errors import GradingError
from grading.marking.forms import REASON_LIMIT
from grading.marking.marks import read_steps

FIRST, SECOND, OTHER = "first", "second", "other"
MOST_ALLOWED = 20  # steps


def read_size(text, of):
    """How many records "12" or "10 %" are, of so many, a share rounded up; None where it is neither.

    >>> read_size("12", 40), read_size(" 10 % ", 26), read_size("some", 40), read_size("120%", 40)
    (12, 3, None, None)
    """
    typed = str(text).strip()
    number = typed.removesuffix("%").strip()
    if not (number.isascii() and number.isdigit() and len(number) < 6 and int(number)):
        return None
    if number == typed:
        return int(number)
    return ceil(int(number) * of / 100) if int(number) <= 100 else None


class DrawForm(forms.Form):
    """How many records to draw, as a number or a share; why, where some were drawn before."""

    size = forms.CharField(
        label=_lazy("Records, as a number or a share"),
        max_length=20,
        widget=forms.TextInput({"placeholder": "10 %", "autocomplete": "off"}),
    )
    reason = forms.CharField(label=_lazy("Reason for drawing more"), max_length=500, required=False)

    def __init__(self, *args, of, more, **kwargs):
        super().__init__(*args, **kwargs)
        self.of = of
        if not more:
            del self.fields["reason"]

    def clean_size(self):
        """The number of records."""
        size = read_size(self.cleaned_data["size"], self.of)
        if not size:
            raise forms.ValidationError(
                _("This is no number of records: type one like 12, or a share like 10 %.")
            )
        return size


class AllowedForm(forms.Form):
    """How large a difference in one part may stand."""

    steps = forms.IntegerField(
        label=_lazy("Smallest steps in one part that may stand"), min_value=0, max_value=MOST_ALLOWED
    )
    reason = forms.CharField(label=_lazy("Reason (it goes into the audit trail)"), max_length=500)


class SettleForm(forms.Form):
    """What was decided of a difference: first, second or another mark; in steps once it is clean."""

    decision = forms.ChoiceField(choices=[(FIRST, FIRST), (SECOND, SECOND), (OTHER, OTHER)])
    marks = forms.CharField(required=False, max_length=20)
    reason = forms.CharField(max_length=REASON_LIMIT)
    version = forms.IntegerField(min_value=0)
    stamp = forms.CharField(max_length=32)

    def __init__(self, *args, mark, **kwargs):
        super().__init__(*args, prefix=mark.part, **kwargs)
        self.mark = mark

    def clean(self):
        """The decision as steps."""
        data = super().clean()
        data["steps"] = {FIRST: self.mark.first_steps, SECOND: self.mark.steps}.get(data.get("decision"))
        if data.get("decision") == OTHER:
            try:
                data["steps"] = read_steps(
                    data.get("marks", ""),
                    step_marks=self.mark.suggestion["step_marks"],
                    out_of=self.mark.out_of_steps,
                )
            except GradingError as problem:
                self.add_error("marks", str(problem))
        return data
