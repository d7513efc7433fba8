"""The forms of the shelf."""

from decimal import Decimal

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Column, Layout, Row, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.errors import ExamkitError
from examkit.stockroom.services import known_substance


class BottleForm(forms.Form):
    """A bottle: what, how much, how strong, when made."""

    substance = forms.CharField(
        label=_("Substance"), max_length=200,
        help_text=_("A name of the list, or the formula of a solid with its water."))
    amount = forms.DecimalField(
        label=_("Amount"), max_value=Decimal(100_000), decimal_places=3,
        help_text=_("g of a solid, mL of a liquid, strips of a test paper."))
    strength_mol_L = forms.DecimalField(
        label=_("Strength (mol/L)"), required=False, max_value=Decimal(25), decimal_places=3,
        help_text=_("Empty: as the name says."))
    made_on = forms.DateField(
        label=_("Made on"), required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    lot = forms.CharField(label=_("Lot"), required=False, max_length=60)
    grade = forms.CharField(
        label=_("Grade"), required=False, max_length=60, help_text=_("As on the label: pure, for analysis."))
    percent_w_w = forms.DecimalField(
        label=_("Per cent by mass"), required=False, min_value=Decimal("0.01"), max_value=Decimal(100),
        decimal_places=2, help_text=_("With the density it gives the strength of a bought solution."))
    density_g_mL = forms.DecimalField(
        label=_("Density (g/mL)"), required=False, min_value=Decimal("0.5"), max_value=Decimal(5),
        decimal_places=3)
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
    was = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args, centre, fixed_substance=False, **kwargs):
        super().__init__(*args, **kwargs)
        self.centre = centre
        self.fields["substance"].disabled = fixed_substance
        self.fields["substance"].widget.attrs["list"] = "substances"
        self.helper = FormHelper()
        self.helper.layout = Layout(
            "substance", Row(Column("amount"), Column("strength_mol_L")),
            Row(Column("lot"), Column("grade")), Row(Column("percent_w_w"), Column("density_g_mL")),
            Row(Column("made_on"), Column("note")), "was", Submit("save", _("Save the bottle")))

    def clean_substance(self):
        """The key or formula of the substance."""
        try:
            return known_substance(self.cleaned_data["substance"], self.centre)
        except ExamkitError as problem:
            raise forms.ValidationError(str(problem)) from problem


class UseForm(forms.Form):
    """How much is taken from a bottle, and for what."""

    amount = forms.DecimalField(label=_("Taken"), max_value=Decimal(100_000), decimal_places=3)
    why = forms.CharField(label=_("For what"), required=False, max_length=200)
    was = forms.IntegerField(widget=forms.HiddenInput)
