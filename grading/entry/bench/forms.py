"""Forms at the door of the bench page."""

from datetime import timedelta

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from examkit.errors import ExamkitError
from examkit.planning.codes import read_code
from grading.entry.bench.codes import read_one_time
from grading.entry.bench.selectors import end_now
from grading.errors import GradingError

PICKED = "%Y-%m-%dT%H:%M"  # how a browser's field for date and time says it
TYPED = {"autocomplete": "off", "spellcheck": "false", "autocapitalize": "characters", "class": "code"}


class DoorForm(forms.Form):
    """The two codes of a candidate; a slip in either is told before it counts as a wrong try.

    The one-time code is called `password`, as every part that must not keep one knows it.
    """

    sample = forms.CharField(
        label=_("Sample code"), max_length=40, widget=forms.TextInput(TYPED | {"autofocus": True}),
        help_text=_("On the label of your sample."))
    password = forms.CharField(label=_("One-time code"), max_length=60, widget=forms.TextInput(TYPED),
                               help_text=_("On the slip from the invigilator."))

    def full_clean(self):
        """As in any form; the cursor goes to what is wrong, not to what was right already."""
        super().full_clean()
        if "password" in self.errors and "sample" not in self.errors:
            self.fields["sample"].widget.attrs.pop("autofocus", None)
            self.fields["password"].widget.attrs["autofocus"] = True

    def clean_sample(self):
        """The code in capitals, without spaces."""
        return _read(read_code, self.cleaned_data["sample"])

    def clean_password(self):
        """As `clean_sample`."""
        return _read(read_one_time, self.cleaned_data["password"])


def _read(reader, text):
    try:
        return reader(text)
    except (ExamkitError, GradingError) as problem:
        raise forms.ValidationError(str(problem)) from problem


class RulesForm(forms.Form):
    """What is allowed at the bench."""

    choices = forms.BooleanField(
        label=_("Outcomes may be chosen from lists"), required=False,
        help_text=_("Each test then offers all outcomes of the syllabus beside the field for words. The same "
                    "for every candidate of the exam."))


class UntilForm(forms.Form):
    """The end of a sitting."""

    until = forms.DateTimeField(
        label=_("Candidates may write until"), input_formats=[PICKED],
        help_text=_("Extra time, and minutes given back on the day, are added for those who have them."),
        widget=forms.DateTimeInput({"type": "datetime-local"}, format=PICKED))

    @classmethod
    def of(cls, sitting, data=None):
        """The form for a sitting, filled with the end that its codes have, else with its own, else with its
        length from now on."""
        now, length = timezone.now(), timedelta(minutes=sitting.minutes)
        own = sitting.ends_at if sitting.ends_at and sitting.ends_at > now else now + length
        end = timezone.localtime(end_now(sitting) or own)
        return cls(data, prefix=f"s{sitting.pk}", initial={"until": end.replace(second=0)})
