"""The operations of a scheme as fields: amounts, reagents and pH, and one more reagent for each test."""

import re
from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.doings import in_words
from examkit.chemistry.knowledge.operations import operations as records
from examkit.chemistry.knowledge.shapes import OperationShape
from examkit.chemistry.knowledge.work import WITH_REAGENT
from examkit.chemistry.tube import START
from examkit.own.schemes import sequences, with_sequences

UNITS = (("drops", _("drops")), ("mL", "mL"), ("g", "g"), ("strips", _("strips")))
MEASURED = ("take", "add", "pass", "test", "wash", "dilute")
WHOLE = ("drops", "strips")


@dataclass(frozen=True)
class Step:
    """One operation as a line of the table: what is done, and the fields of what can be changed."""

    does: str
    reagent: object | None
    amount: object | None
    unit: str
    pH: object | None


@dataclass(frozen=True)
class Way:
    """The operations of a test, or of one way of doing it."""

    title: str
    steps: tuple


class OperationFields:
    """What a form of a scheme shows of its operations, and how it takes them back.

    The form has `kb`, `stages` by row, `_add` for a field and `_title` for a test.
    """

    def _operation_fields(self):
        """Fields for every amount of the tests that are in; of ways, those that the syllabus needs."""
        self.sequences = {
            row: sequences(stage, self.kb.tests[stage["test"]])
            for row, stage in self.stages.items() if self[f"{row}-in"].initial}
        for row, ways in self.sequences.items():
            for facet, number, each in _measured(ways):
                self._amount_fields(row_name(row, facet, str(number)), self.stages[row]["test"], facet, each)
            if set(ways) == {""}:
                self._more_fields(row)

    def _amount_fields(self, name, test, facet, each):
        title = f"{self._title(test)}: {self._does(self.kb.tests[test], each, facet)}"
        unit = _unit(each)
        kind = forms.IntegerField if unit in WHOLE else forms.FloatField
        self._add(f"{name}-amount", kind(label=title, initial=each[unit], min_value=0))
        if each["do"] != "take" and each.get("what"):
            reagent = forms.CharField(
                label=title + ", " + str(_("reagent")), initial=each["what"], max_length=80)
            reagent.widget.attrs["list"] = "reagents"
            self._add(f"{name}-reagent", reagent)
        if "until_pH" in each:
            self._add(f"{name}-pH", forms.FloatField(
                label=f"{title}, pH", initial=each["until_pH"], min_value=0, max_value=14))

    def _more_fields(self, row):
        """One more reagent, and after which step."""
        title = f"{self._title(self.stages[row]['test'])}: " + str(_("one more reagent"))
        reagent = forms.CharField(label=title, max_length=80)
        reagent.widget.attrs["list"] = "reagents"
        self._add(f"{row}-more-reagent", reagent)
        self._add(f"{row}-more-amount", forms.FloatField(label=f"{title}, " + str(_("amount")), min_value=0))
        self._add(f"{row}-more-unit", forms.ChoiceField(label=f"{title}, " + str(_("unit")), choices=UNITS))
        self._add(f"{row}-more-after", forms.IntegerField(
            label=f"{title}, " + str(_("after step")), min_value=1, max_value=len(self.sequences[row][""])))

    def _does(self, test, each, facet=""):
        """What is done, without how much: that stands in the field."""
        if each.get("what") and each["do"] in WITH_REAGENT and each["what"] not in self.kb.reagents:
            return f"{each['do']} {each['what']}"  # one that the checks will refuse
        bare = {name: value for name, value in each.items() if name not in (*dict(UNITS), "until_pH", "note")}
        return in_words(self.kb, test, records([OperationShape(**bare)])[0], facet)

    def operation_rows(self):
        """(title, whether something is wrong, ways, fields of one more reagent) of each test, in order."""
        for row, ways in self.sequences.items():
            test = self.kb.tests[self.stages[row]["test"]]
            more = [self._bound(f"{row}-more-{part}") for part in ("reagent", "amount", "unit", "after")]
            names = [name for name in self.fields if name.startswith(f"{row}-")]
            yield test.title, any(name in self.errors for name in names), [
                Way(test.facets[facet].title if facet else "", tuple(self._steps(row, facet, each)))
                for facet, each in ways.items()], more if more[0] else ()

    def _steps(self, row, facet, operations):
        test = self.kb.tests[self.stages[row]["test"]]
        for number, each in enumerate(operations):
            name = row_name(row, facet, str(number))
            yield Step(
                self._does(test, each, facet), self._bound(f"{name}-reagent"), self._bound(f"{name}-amount"),
                dict(UNITS).get(_unit(each), ""), self._bound(f"{name}-pH"))

    def _bound(self, name):
        return self[name] if name in self.fields else None

    def _edited_stage(self, row, stage):
        if row not in self.sequences:
            return stage
        ways = {
            facet: [self._edited_operation(row_name(row, facet, str(number)), operation)
                    for number, operation in enumerate(each)]
            for facet, each in self.sequences[row].items()}
        if f"{row}-more-reagent" in self.fields:
            self._put_more(row, ways[""])
        kept = {facet: [each for each in way if each] for facet, way in ways.items()}
        return with_sequences(stage, kept, self.kb.tests[stage["test"]])

    def _put_more(self, row, way):
        """The one more reagent into its place: after the step that was named, or after what is taken."""
        reagent, amount, unit, after = (
            self.cleaned_data[f"{row}-more-{part}"] for part in ("reagent", "amount", "unit", "after"))
        if reagent and amount:
            counted = int(amount) if unit in WHOLE else amount
            way.insert(after or 1, {"do": "add", "what": reagent.strip(), unit or UNITS[0][0]: counted})

    def _edited_operation(self, name, each):
        """The operation with what was typed; one whose amount was taken out is left out."""
        if f"{name}-amount" not in self.fields:
            return each
        amount = self.cleaned_data[f"{name}-amount"]
        if not amount:
            return None if each["do"] != "take" else each
        edited_ = each | {_unit(each): amount}
        if f"{name}-reagent" in self.fields:
            edited_["what"] = self.cleaned_data[f"{name}-reagent"].strip() or each["what"]
        if self.cleaned_data.get(f"{name}-pH") is not None:
            edited_["until_pH"] = self.cleaned_data[f"{name}-pH"]
        return edited_


def _unit(each):
    """How an operation is measured, or an empty string."""
    return next((unit for unit, _words in UNITS if each.get(unit)), "")


def _measured(ways):
    """(way, number, operation) of every operation that has an amount."""
    for facet, operations in ways.items():
        for number, each in enumerate(operations):
            if each["do"] in MEASURED and _unit(each):
                yield facet, number, each


def row_name(*words):
    """The name of a row's fields: what it is about, as far as an address of a field can say it.

    >>> row_name("c", "confirm-cation.potassium-iodide", "dilute HCl")
    'c-confirm-cation_potassium-iodide-dilute_HCl'
    """
    return "-".join(re.sub(r"[^A-Za-z0-9-]", "_", word) for word in words if word not in ("", START))
