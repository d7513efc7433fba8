"""What all forms of entries share: reason, version, words with commas, hazards, problems in place."""

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.knowledge import knowledge

SIGNALS = (("", _("none")), ("Warning", _("Warning")), ("Danger", _("Danger")))


class Words(forms.CharField):
    """Words with commas between them, as a list."""

    def to_python(self, value):
        """The words, without empty ones."""
        return [word.strip() for word in (value or "").split(",") if word.strip()]

    def prepare_value(self, value):
        """The words as one line."""
        return ", ".join(value) if isinstance(value, list | tuple) else value

    def validate(self, value):
        """At least one word where one is needed, and none that a database cannot hold."""
        if any("\0" in word for word in value):
            raise forms.ValidationError(_("Null characters are not allowed."))
        if self.required and not value:
            raise forms.ValidationError(self.error_messages["required"], code="required")

    def run_validators(self, value):
        """What the words may be is for the knowledge base to check."""


class OwnForm(forms.Form):
    """What all entries have: who says so and why, and the version that the page showed."""

    FIELD_OF = {}  # place of a problem -> field, where they differ
    theirs = None  # the entry that somebody else saved meanwhile

    why = forms.CharField(
        label=_("Why, and where it comes from"), max_length=300,
        help_text=_("Your own trial with its date, a book with its page. It is printed as the source, with "
                    "the name of your school and yours."))
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self.helper = FormHelper()
        self.helper.attrs = {"data-guard": "", "novalidate": ""}
        self.helper.layout = Layout(*self.parts(), "why", "version", Submit("save", _("Save")))

    def parts(self):
        """The fields of the kind, set in rows."""
        return ()

    def tell(self, error):
        """Put every problem of a refusal beside the field it is about."""
        for problem in getattr(error, "problems", None) or [str(error)]:
            place = getattr(problem, "place", "").split(".")[0]
            field = self.FIELD_OF.get(place, place)
            plain = field is None or field in self.fields
            words = problem.said if place and plain else str(problem)
            self.add_error(field if field in self.fields else None, _capital(words))


def _capital(words):
    return words[:1].upper() + words[1:]


def hazard_fields():
    """Signal word, statements and pictograms as fields."""
    return {
        "signal": forms.ChoiceField(label=_("Signal word"), choices=SIGNALS, required=False),
        "statements": Words(
            label=_("Hazard statements"), required=False,
            help_text=_("The codes of the supplier’s label, with commas: H302, H410.")),
        "pictograms": forms.MultipleChoiceField(
            label=_("Pictograms"), required=False, widget=forms.CheckboxSelectMultiple,
            choices=[(key, f"{each['name']} ({each['ghs']})")
                     for key, each in knowledge().pictograms.items()]),
    }


def hazards(cleaned):
    """The hazards as the knowledge base stores them."""
    return {name: cleaned[name] for name in ("signal", "statements", "pictograms")}
