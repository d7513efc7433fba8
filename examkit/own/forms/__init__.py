"""The forms of what is our own: a file per kind of entry."""

from examkit.own.forms.outcome import OutcomeForm, PlaceForm
from examkit.own.forms.reagent import ReagentForm
from examkit.own.forms.salt import SaltForm
from examkit.own.forms.scheme import CopyForm, SchemeForm

__all__ = ["CopyForm", "OutcomeForm", "PlaceForm", "ReagentForm", "SaltForm", "SchemeForm"]
