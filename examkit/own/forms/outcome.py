"""The forms of an outcome that is also accepted: first where, then what is seen at each step."""

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Column, Fieldset, Row
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.formula import pretty
from examkit.chemistry.knowledge.layers import fact_at
from examkit.chemistry.knowledge.model import EVENTS
from examkit.own.forms.base import OwnForm, Words

SHOWN = {  # an event in the words of a form
    "none": _("nothing"), "precipitate": _("a precipitate"), "dissolves": _("it dissolves"),
    "gas": _("a gas"),
    "colour": _("a colour"), "residue": _("a residue"), "sublimate": _("a sublimate"), "flame": _("a flame"),
    "bead": _("a bead"), "smell": _("a smell"), "effervescence": _("effervescence"),
    "crackling": _("crackling"), "melts": _("it melts"),
}
TEXTS = ("texture", "product", "gas", "smell", "also_seen")
LABELS = {
    "texture": _("Texture"), "product": _("Product"), "gas": _("Gas (formula)"), "smell": _("Smell"),
    "also_seen": _("Also seen"),
}


class PlaceForm(forms.Form):
    """Whose outcome, and in which test."""

    subject = forms.ChoiceField(label=_("Ion or salt"))
    place = forms.ChoiceField(label=_("Test, and what is looked at"))

    def __init__(self, *args, kb, **more):
        super().__init__(*args, **more)
        self.kb = kb
        self.fields["subject"].choices = [
            (title, [(i.formula, f"{pretty(i.formula)}, {i.name}")
                     for i in kb.ions.values() if i.kind == kind])
            for kind, title in (("cation", _("Cations")), ("anion", _("Anions")))
        ] + [(_("Salts, where they show otherwise than their ions"),
              [(s.formula, f"{s.name}, {pretty(s.formula)}") for s in kb.salts.values()])]
        self.fields["place"].choices = [
            (test.title, [(f"{test.id}.{facet.key}", f"{test.title}: {facet.title}")
                          for facet in test.facets.values()])
            for test in kb.tests.values()
        ]
        self.helper = FormHelper()
        self.helper.form_tag = False

    def clean(self):
        """The salt or ion must have an outcome of its own there."""
        cleaned = super().clean()
        if cleaned.get("subject") and cleaned.get("place"):
            cleaned["fact"] = fact_at(self.kb, cleaned["subject"], tuple(cleaned["place"].split(".", 1)))
            if cleaned["fact"] is None:
                raise forms.ValidationError(
                    _("%(subject)s has no outcome of its own there. What a salt shows may come from its "
                      "ions: choose the ion."), params={"subject": pretty(cleaned["subject"])})
        return cleaned


class OutcomeForm(OwnForm):
    """What is seen at each step of one facet, beside what is expected there."""

    FIELD_OF = {"tests": None, "seen": None}

    def __init__(self, *args, kb, fact, seen=None, **more):
        self.fact, self.test = fact, kb.tests[fact.test]
        self.facet = self.test.facets[fact.facet]
        self.steps = [o.step for o in fact.seen]
        self.seen = seen or fact.seen
        super().__init__(*args, **more)
        for number, outcome in enumerate(self.seen):
            self.fields |= step_fields(number, outcome)
        self.helper.layout.fields[:0] = [self._step(n, outcome.step) for n, outcome in enumerate(self.seen)]

    def _step(self, number, step):
        name = "{}-{}".format
        return Fieldset(
            step or self.facet.title,
            Row(Column(name(number, "event")), Column(name(number, "colours"))),
            Row(*(Column(name(number, text)) for text in ("texture", "product"))),
            Row(*(Column(name(number, text)) for text in ("gas", "smell"))), name(number, "also_seen"))

    def data_of_entry(self):
        """The entry as stored."""
        seen = [self._outcome(number, outcome.step) for number, outcome in enumerate(self.seen)]
        return {"subject": self.fact.subject, "test": self.fact.test, "facet": self.fact.facet, "seen": seen}

    def _outcome(self, number, step):
        each = {name: self.cleaned_data[f"{number}-{name}"] for name in ("event", "colours", *TEXTS)}
        return {"step": step} | {name: value for name, value in each.items() if value}


def step_fields(number, outcome):
    """The fields of one step, filled with an outcome."""
    events = [(event, SHOWN.get(event, event)) for event in EVENTS]
    fields = {
        "event": forms.ChoiceField(label=_("Seen"), choices=events, initial=outcome.event),
        "colours": Words(label=_("Colours, any of them"), required=False, initial=list(outcome.colours)),
    }
    for name in TEXTS:
        fields[name] = forms.CharField(
            label=LABELS[name], required=False, max_length=120, initial=getattr(outcome, name) or "")
    return {f"{number}-{name}": field for name, field in fields.items()}
