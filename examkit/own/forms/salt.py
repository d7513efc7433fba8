"""The form of a salt of one's own."""

from crispy_forms.layout import Column, Fieldset, Row
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.errors import FormulaError
from examkit.chemistry.formula import pretty
from examkit.chemistry.knowledge.model import SOLVENTS
from examkit.own.composition import counts_of
from examkit.own.forms.base import OwnForm, Words, hazard_fields, hazards

NO_CAS = "not given"
BESIDES = ("OH-", "O^2-")  # of basic salts and of oxide salts: analysis does not ask for them
MOISTURE = (
    ("none", _("stays as it is")), ("hygroscopic", _("takes up water")),
    ("deliquescent", _("takes up water until it flows")), ("efflorescent", _("loses its crystal water")),
)


class SaltForm(OwnForm):
    """A salt as sold; its formula is its key and stays."""

    FIELD_OF = {"ions": "cation", "hazards": "statements", "solution": "solution_words"}

    formula = forms.CharField(
        label=_("Formula, with its water"), max_length=80, help_text=_("For example Fe2(SO4)3.9H2O."))
    name = forms.CharField(label=_("Name"), max_length=120)
    names = Words(label=_("Other names"), required=False, help_text=_("With commas between them."))
    cas = forms.CharField(label=_("CAS number"), max_length=20, required=False)
    cation = forms.ChoiceField(label=_("Cation"))
    second_cation = forms.ChoiceField(label=_("Second cation, of a double salt"), required=False)
    anion = forms.ChoiceField(label=_("Anion"))
    besides = forms.ChoiceField(
        label=_("Besides"), required=False, choices=[("", "–"), *((ion, pretty(ion)) for ion in BESIDES)],
        help_text=_("Of a basic salt: analysis does not ask for it."))
    colour = Words(label=_("Colour"), help_text=_("Any of these words is right; the most usual first."))
    form = forms.CharField(
        label=_("Form"), max_length=40, initial="crystals", help_text=_("crystals, powder, lumps"))
    moisture = forms.ChoiceField(label=_("In air"), choices=MOISTURE)
    odour = forms.CharField(label=_("Smell"), max_length=80, required=False)
    dissolves_in = forms.ChoiceField(
        label=_("Dissolves in"), choices=[(word, word) for word in SOLVENTS],
        help_text=_("The first of the row that dissolves it."))
    solution_words = Words(label=_("Colour of that solution"), required=False, initial="colourless")
    keeping = forms.CharField(label=_("Keeping"), max_length=200, required=False)

    def __init__(self, *args, kb, fixed=False, **more):
        super().__init__(*args, **more)
        self.fields |= hazard_fields()
        self.fields["formula"].disabled = fixed
        for name, kind, empty in (("cation", "cation", False), ("second_cation", "cation", True),
                                  ("anion", "anion", False)):
            ions = [(i.formula, f"{pretty(i.formula)}, {i.name}") for i in kb.ions.values() if i.kind == kind]
            self.fields[name].choices = [("", "–")] * empty + ions
        for name in ("colour", "solution_words"):
            self.fields[name].widget.attrs["list"] = "colour-words"

    def parts(self):
        """Name, make-up, look, hazards."""
        return (
            Row(Column("formula"), Column("name")), Row(Column("names"), Column("cas")),
            Fieldset(_("What it is made of"), Row(Column("cation"), Column("anion")),
                     Row(Column("second_cation"), Column("besides"))),
            Fieldset(_("What is seen of it"), Row(Column("colour"), Column("form")),
                     Row(Column("moisture"), Column("odour")),
                     Row(Column("dissolves_in"), Column("solution_words"))),
            Fieldset(_("Safety"), Row(Column("signal"), Column("statements")), "pictograms", "keeping"),
        )

    def clean(self):
        """The counts of the ions follow from the formula."""
        cleaned = super().clean()
        ions = [cleaned.get(name) for name in ("cation", "second_cation", "anion", "besides")]
        ions = tuple(dict.fromkeys(ion for ion in ions if ion))
        if cleaned.get("formula") and cleaned.get("cation") and cleaned.get("anion"):
            try:
                cleaned["counts"] = counts_of(cleaned["formula"].strip(), ions)
            except FormulaError as error:
                self.add_error("formula", str(error))
            else:
                if not cleaned["counts"]:
                    self.add_error("formula", _("These ions and whole molecules of water do not make up this "
                                                "formula. Mend the formula, or choose the ions it holds."))
        return cleaned

    def key(self):
        """The formula."""
        return self.cleaned_data["formula"].strip()

    def data_of_entry(self):
        """The entry as stored."""
        each = self.cleaned_data
        same = ("name", "names", "colour", "form", "moisture", "dissolves_in", "keeping")
        return {"salt": {name: each[name] for name in same} | {
            "formula": self.key(), "cas": each["cas"] or NO_CAS, "odour": each["odour"] or None,
            "ions": {ion: n for ion, n in each["counts"].items() if ion not in BESIDES},
            "besides": {ion: n for ion, n in each["counts"].items() if ion in BESIDES},
            "solution": each["solution_words"], "hazards": hazards(each),
        }}

    @staticmethod
    def initial_of(entry):
        """The fields of a stored entry."""
        salt = entry.data["salt"]
        cations = [ion for ion in salt["ions"] if ion.endswith("+")]
        anions = [ion for ion in salt["ions"] if ion not in cations]
        return salt | salt["hazards"] | {
            "cas": "" if salt["cas"] == NO_CAS else salt["cas"], "solution_words": salt["solution"],
            "cation": cations[0], "second_cation": (cations + [""])[1], "anion": anions[0],
            "besides": next(iter(salt["besides"]), ""), "why": entry.why, "version": entry.version,
        }
