"""What an invigilator sends: a note, a reason."""

from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.models import Happening


class NoteForm(forms.Form):
    """One note of the day."""

    kind = forms.ChoiceField(label=_("What"), choices=Happening)
    code = forms.CharField(required=False, max_length=12)
    words = forms.CharField(label=_("Words"), required=False, max_length=500)
    test = forms.CharField(label=_("Test"), required=False, max_length=60)
    minutes = forms.IntegerField(label=_("Minutes"), required=False, min_value=1, max_value=120)
