"""Forms of the examiner's pages. They check the shape only; what may be done is the services' business."""

from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.errors import ExamkitError
from examkit.planning.codes import read_code
from grading.errors import GradingError
from grading.marking.marks import read_steps
from grading.marking.parts import RESULT

WRITTEN_LIMIT = 5000  # characters in one field of a record
REASON_LIMIT = 1000  # characters in the reason for a mark


class CodeForm(forms.Form):
    """A sample code as typed; its check character shows a slip."""

    code = forms.CharField(
        label=_("Sample code"),
        max_length=40,
        widget=forms.TextInput({"autofocus": True, "autocomplete": "off", "spellcheck": "false"}),
    )

    def clean_code(self):
        """The code in capitals, without spaces."""
        try:
            return read_code(self.cleaned_data["code"])
        except ExamkitError as problem:
            raise forms.ValidationError(str(problem)) from problem


class ReasonForm(forms.Form):
    """A reason for the audit trail."""

    reason = forms.CharField(label=_("Reason"), max_length=500, strip=True)


class LineForm(forms.Form):
    """What was written for one test. `pick` is an outcome from the list; it is put behind the words typed."""

    observation = forms.CharField(required=False, strip=False, max_length=WRITTEN_LIMIT)
    inference = forms.CharField(required=False, strip=False, max_length=WRITTEN_LIMIT)
    pick = forms.CharField(required=False, max_length=WRITTEN_LIMIT)
    version = forms.IntegerField(min_value=0)
    replace = forms.IntegerField(required=False, min_value=0)

    def words(self):
        """Observation, inference and version, as the service takes them."""
        said, pick = self.cleaned_data["observation"], self.cleaned_data["pick"].strip()
        if pick and pick not in said:
            said = f"{said.rstrip()}; {pick}" if said.strip() else pick
        return {
            "observation": said,
            "inference": self.cleaned_data["inference"],
            "version": self.at_version(),
        }

    def at_version(self):
        """The version that the words replace: another one only where that was ticked."""
        replaced = self.cleaned_data["replace"]
        return self.cleaned_data["version"] if replaced is None else replaced


class ResultForm(LineForm):
    """The cation and anion that the candidate named, in the fields of a line."""

    observation = forms.CharField(required=False, max_length=200)
    inference = forms.CharField(required=False, max_length=200)

    def words(self):
        """Cation, anion and version, as the service takes them."""
        return {
            "cation": self.cleaned_data["observation"],
            "anion": self.cleaned_data["inference"],
            "version": self.at_version(),
        }


class AwardForm(forms.Form):
    """The mark of one part, in steps once it is clean; an empty field says nothing."""

    marks = forms.CharField(required=False, max_length=20)
    reason = forms.CharField(required=False, max_length=REASON_LIMIT)
    version = forms.IntegerField(min_value=0)
    stamp = forms.CharField(max_length=32)

    def __init__(self, *args, part, step_marks, **kwargs):
        super().__init__(*args, prefix=part.key, **kwargs)
        self.part, self.step_marks = part, step_marks

    def clean_marks(self):
        """The number of steps, or None where nothing was typed."""
        typed = self.cleaned_data["marks"]
        if not typed:
            return None
        try:
            return read_steps(typed, step_marks=self.step_marks, out_of=self.part.out_of)
        except GradingError as problem:
            raise forms.ValidationError(str(problem)) from problem


def form_of_line(test, data=None):
    """The form for a line of the record, or for its result."""
    return (ResultForm if test == RESULT else LineForm)(data, prefix=test)
