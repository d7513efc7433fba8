"""The forms of a scheme of one's own: first the one that is copied, then its tables."""

from dataclasses import dataclass

from crispy_forms.helper import FormHelper
from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.formula import pretty
from examkit.chemistry.knowledge.layers import in_order
from examkit.chemistry.tube import START
from examkit.own.forms.base import OwnForm, Words
from examkit.own.forms.operations import OperationFields, row_name
from examkit.own.schemes import STEP, STRENGTHS, edited


class CopyForm(OwnForm):
    """Which scheme is copied, and what the copy is called."""

    scheme = forms.ChoiceField(label=_("Scheme to copy"))
    title = forms.CharField(label=_("Title of your scheme"), max_length=120)

    def __init__(self, *args, kb, **more):
        super().__init__(*args, **more)
        self.fields["scheme"].choices = [(key, scheme.title) for key, scheme in kb.schemes.items()]
        self.helper.layout.fields[:0] = ["scheme", "title"]


@dataclass(frozen=True)
class TestRow:
    """A test of the base as a line of the table: its fields, and what goes with it when it is in."""

    __test__ = False  # pytest: this is not a test class

    title: str
    stage: dict
    told: str  # what is done first, what it takes and leaves
    chosen: object
    place: object
    group: object


class SchemeForm(OperationFields, OwnForm):
    """Order and choice of tests, groups, syllabus, amounts.

    Fields are named by what their row is about, so that a page older than the stored scheme still means the
    same rows.
    """

    FIELD_OF = {"tests": None, "groups": None, "solutions": None, "syllabus": None}

    title = forms.CharField(label=_("Title"), max_length=120)
    sample_g = forms.FloatField(label=_("Given to a candidate (g)"), min_value=0)
    grams = forms.FloatField(label=_("Taken for the tests (g)"), min_value=0)
    original_g_mL = forms.FloatField(label=_("Salt in 1 mL of the original solution (g)"), min_value=0)
    extract_g_mL = forms.FloatField(label=_("Salt in 1 mL of the extract (g)"), min_value=0)
    tube_mL = forms.FloatField(label=_("Original solution taken through the groups (mL)"), min_value=0.01)
    stops_at_first_group = forms.BooleanField(
        label=_("With one cation the work stops at the first group that answers"), required=False)
    cations = forms.MultipleChoiceField(label=_("Cations"), widget=forms.CheckboxSelectMultiple)
    anions = forms.MultipleChoiceField(label=_("Anions"), widget=forms.CheckboxSelectMultiple)

    def __init__(self, data=None, *, kb, entry, **more):
        self.kb, self.old = kb, in_order(entry.data["scheme"])
        super().__init__(data, **more)
        self.helper = FormHelper()
        self.helper.form_tag = False
        self._head(entry)
        self._test_fields()
        self._group_fields()
        self._operation_fields()

    def _head(self, entry):
        old = self.old
        self.initial |= {name: old[name] for name in ("title", "sample_g", "grams", "stops_at_first_group")}
        self.initial |= {name: old["solutions"][name] for name in STRENGTHS}
        self.initial |= {"why": entry.why, "version": entry.version} | old["syllabus"]
        for kind in ("cation", "anion"):
            ions = [ion for ion in self.kb.ions.values() if ion.kind == kind]
            names = [(ion.formula, f"{pretty(ion.formula)} {ion.name}") for ion in ions]
            self.fields[f"{kind}s"].choices = names

    def _add(self, name, field):
        """A field of a table; the table's heads and the row name it on the page."""
        field.required = False
        field.widget.attrs["aria-label"] = field.label
        self.fields[name] = field
        return name

    # ---- tests ----
    def _test_fields(self):
        there = {stage["test"] for stage in self.old["tests"]}
        others = [{"test": key, "group": ""} for key in self.kb.tests if key not in there]
        stages = [*self.old["tests"], *others]
        self.stages = {row_name("t", each["test"], each.get("takes", START)): each for each in stages}
        for number, (row, stage) in enumerate(self.stages.items()):
            title = self._title(stage["test"])
            place = (number + 1) * STEP if stage["test"] in there else None
            self._add(f"{row}-in", forms.BooleanField(
                label=_("%(test)s: in the scheme") % {"test": title}, initial=stage["test"] in there))
            self._add(f"{row}-place", forms.IntegerField(
                label=_("%(test)s: place") % {"test": title}, initial=place, min_value=0))
            self._add(f"{row}-group", forms.CharField(
                label=_("%(test)s: group") % {"test": title}, initial=stage.get("group", ""), max_length=20))

    def _title(self, key):
        return self.kb.tests[key].title if key in self.kb.tests else key

    def test_rows(self):
        """The tests of the scheme, then those of the base that it leaves out."""
        return [TestRow(self._title(stage["test"]), stage, _goes_with(stage), self[f"{row}-in"],
                        self[f"{row}-place"], self[f"{row}-group"]) for row, stage in self.stages.items()]

    # ---- groups ----
    def _group_fields(self):
        groups = self.old["groups"] | {"": {"cations": [], "reagent": ""}}
        self.groups = {row_name("g", name): (name, group) for name, group in groups.items()}
        for row, (name, group) in self.groups.items():
            said = name or _("new group")
            self._add(f"{row}-name", forms.CharField(
                label=_("%(group)s: name") % {"group": said}, initial=name, max_length=20))
            self._add(f"{row}-cations", Words(
                label=_("%(group)s: cations") % {"group": said}, initial=list(group["cations"])))
            self._add(f"{row}-reagent", forms.CharField(
                label=_("%(group)s: reagent") % {"group": said}, initial=group["reagent"], max_length=200))

    def group_rows(self):
        """Name, cations and reagent of each group, and an empty row."""
        return [[self[f"{row}-{part}"] for part in ("name", "cations", "reagent")] for row in self.groups]

    def problems(self):
        """All that is wrong, each with the name of its field: tables hide what stands far down."""
        yield from self.non_field_errors()
        for name, found in self.errors.items():
            if name in self.fields:
                yield from (f"{self.fields[name].label}: {problem}" for problem in found)

    # ---- back to data ----
    def clean(self):
        """Two groups cannot have one name."""
        cleaned = super().clean()
        names = [name for row in self.groups if (name := cleaned.get(f"{row}-name", "").strip())]
        for name in sorted({name for name in names if names.count(name) > 1}):
            self.add_error(None, _("Two groups are called “%(name)s”. Each needs a name of its own.") % {
                "name": name})
        return cleaned

    def data_of_entry(self):
        """The entry as stored."""
        each = self.cleaned_data
        last = (len(self.stages) + 1) * STEP
        rows = [(each[f"{row}-place"] if each[f"{row}-place"] is not None else last, each[f"{row}-in"],
                 self._edited_stage(row, stage) | {"group": each[f"{row}-group"].strip()})
                for row, stage in self.stages.items()]
        groups = [(was, each[f"{row}-name"].strip(), each[f"{row}-cations"], each[f"{row}-reagent"].strip())
                  for row, (was, _group) in self.groups.items()]
        return {"scheme": edited(self.old, each, rows, groups)}





def _goes_with(stage):
    """What is done before a test, and the fractions it takes and leaves, in words."""
    told = [before["by"] for before in stage.get("before", ()) if before["by"]]
    if stage.get("takes", "solution") != "solution":
        told.append(_("takes: %(fraction)s") % {"fraction": stage["takes"]})
    left = [stage[name] for name in ("precipitate", "solution") if stage.get(name)]
    if left:
        told.append(_("leaves: %(fractions)s") % {"fractions": ", ".join(left)})
    return "; ".join(map(str, told))
