"""The form of a reagent in another strength or make-up."""

from crispy_forms.layout import Column, Fieldset, Row
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.formula import pretty
from examkit.chemistry.knowledge.layers import reagent_file
from examkit.own.forms.base import OwnForm, hazard_fields, hazards

STRENGTHS = {
    "strength_mol_L": _("Strength (mol/L)"), "percent_w_v": _("Strength (g in 100 mL)"),
    "percent_w_w": _("Strength (% by mass)"), "density_g_mL": _("Density (g/mL)"),
}
STOCK, SOLID, BOUGHT = "stock", "solid", "bought"


class ReagentForm(OwnForm):
    """Strength, make-up and label of a shipped reagent, where the school's differ."""

    FIELD_OF = {"hazards": "statements", "made_from": "make"}

    name = forms.CharField(
        label=_("Name"), max_length=120, help_text=_("As printed on the bottle; mind the strength in it."))
    make = forms.ChoiceField(label=_("Made from"))
    procedure = forms.CharField(
        label=_("How it is made up"), required=False, max_length=600,
        widget=forms.Textarea(attrs={"rows": 3}))
    shelf_life = forms.CharField(label=_("Keeps"), max_length=200, required=False)

    def __init__(self, *args, kb, shipped, **more):
        super().__init__(*args, **more)
        self.shipped = shipped
        for name in self.strengths():
            self.fields[name] = forms.DecimalField(label=STRENGTHS[name], max_digits=9, localize=False)
        self.fields |= hazard_fields()
        self.fields["make"].choices = list(makes(kb, shipped))
        self.helper.layout.fields[:0] = [
            Row(Column("name"), Column("make")),
            Row(*(Column(name) for name in self.strengths())),
            "procedure", "shelf_life",
            Fieldset(
                _("Safety, at this strength"), Row(Column("signal"), Column("statements")), "pictograms"),
        ]

    def strengths(self):
        """The ways in which the shipped reagent states its strength; mol/L where it states none."""
        stated = [name for name in STRENGTHS if getattr(self.shipped, name) is not None]
        return stated or (["strength_mol_L"] if self.shipped.kind == "solution" else [])

    def data_of_entry(self):
        """The entry as stored: only what differs from the shipped reagent."""
        each, shipped = self.cleaned_data, reagent_file(self.shipped)
        ours = {"name": each["name"], "procedure": each["procedure"], "shelf_life": each["shelf_life"],
                "hazards": hazards(each), "made_from": made(each["make"], self.shipped)}
        ours |= {name: float(each[name]) for name in self.strengths()}
        return {"reagent": {key: value for key, value in ours.items() if value != shipped[key]}}


def makes(kb, reagent):
    """(value, words) of what a reagent could be made from: bought, its solid, another of the kind."""
    yield BOUGHT, _("bought as it is")
    same = [other for other in kb.reagents.values() if other.formula == reagent.formula and other.formula]
    for other in same:
        if other.key != reagent.key and other.kind in ("concentrated", "solution", "liquid"):
            yield f"{STOCK}:{other.key}", _("diluted from %(stock)s") % {"stock": other.name}
    solids = dict.fromkeys((reagent.made_from.get("solid"), reagent.formula))
    for solid in (solid for solid in solids if solid and reagent.kind != "gas"):
        yield f"{SOLID}:{solid}", _("the solid %(solid)s") % {"solid": pretty(solid)}
    now = made_value(reagent)
    if now.startswith(STOCK) and now.removeprefix(f"{STOCK}:") not in [other.key for other in same]:
        yield now, _("diluted as shipped")


def made_value(reagent):
    """What the present make-up is in the list of `makes`."""
    for kind in (STOCK, SOLID):
        if kind in reagent.made_from:
            return f"{kind}:{reagent.made_from[kind]}"
    return BOUGHT


def made(value, shipped):
    """The make-up that was chosen; additives and solvent of the shipped one stay with its kind."""
    kind, _colon, what = value.partition(":")
    if value == made_value(shipped):
        return shipped.made_from
    if kind == SOLID and SOLID in shipped.made_from:
        return shipped.made_from | {SOLID: what}
    return {} if kind == BOUGHT else {kind: what}


def initial_of(reagent, why="", version=None):
    """The fields of a reagent as it stands in the base."""
    return reagent_file(reagent) | {
        "make": made_value(reagent), "why": why, "version": version, "signal": reagent.hazards.signal,
        "statements": list(reagent.hazards.statements), "pictograms": list(reagent.hazards.pictograms),
    }
