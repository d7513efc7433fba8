"""The forms of planning."""

from dataclasses import replace
from decimal import Decimal

from django import forms
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.formula import pretty
from examkit.knowledge import USUAL_MARK_SCHEME, USUAL_SCHEME, knowledge
from examkit.models import Candidate, Exam, Part, Sitting, User
from examkit.planning.rules import COLOUR_AVOIDED, COLOUR_NEVER, Rules
from examkit.planning.selectors.draw import benches_of
from examkit.planning.services.rooms import MOST, MOST_MINUTES, usual_minutes

MILLIGRAMS = 1000


class ExamForm(forms.ModelForm):
    """The particulars of an exam; the version tells whether somebody else saved meanwhile."""

    scheme = forms.ChoiceField(label=_("Scheme of analysis"))
    mark_scheme = forms.ChoiceField(label=_("Mark scheme"))
    sample_g = forms.DecimalField(
        label=_("Sample for one candidate (g)"), min_value=Decimal("0.05"), max_value=100, decimal_places=3,
        initial=Decimal("1.5"), help_text=_("Enough for every test and some repeats."))
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Exam
        fields = ["name", "held_on", "scheme", "mark_scheme", "spare_percent"]
        widgets = {"held_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}
        help_texts = {"spare_percent": _("Weighed out in addition, for spills and repeats.")}

    field_order = ["name", "held_on", "scheme", "mark_scheme", "sample_g", "spare_percent", "version"]

    def __init__(self, *args, centre, **more):
        super().__init__(*args, **more)
        kb = knowledge(centre)
        self.fields["scheme"].choices = [(key, scheme.title) for key, scheme in kb.schemes.items()]
        self.fields["mark_scheme"].choices = [
            (key, scheme.get("title", key)) for key, scheme in kb.mark_schemes.items()]
        self.fields["scheme"].initial, self.fields["mark_scheme"].initial = USUAL_SCHEME, USUAL_MARK_SCHEME
        self.fields["spare_percent"].widget.attrs |= {"min": 0, "max": 300}
        if self.instance.pk:
            self.initial["sample_g"] = Decimal(self.instance.sample_mg) / MILLIGRAMS
            self.initial["version"] = self.instance.version

    def particulars(self):
        """The cleaned fields as the services take them."""
        fields = {name: self.cleaned_data[name] for name in self.Meta.fields}
        return fields | {"sample_mg": int(self.cleaned_data["sample_g"] * MILLIGRAMS)}

    def clean_spare_percent(self):
        """More than three times the need is a slip of the pen."""
        spare = self.cleaned_data["spare_percent"]
        if spare > 300:
            raise forms.ValidationError(_("At most 300 %."))
        return spare

    def validate_unique(self):
        """Services refuse a name that is taken: they know the centre."""


class RoomForm(forms.Form):
    """A new room."""

    name = forms.CharField(label=_("Name"), max_length=100)
    rows = forms.IntegerField(label=_("Rows of benches"), min_value=1, max_value=MOST, initial=5)
    columns = forms.IntegerField(label=_("Benches in a row"), min_value=1, max_value=MOST, initial=4)


class SittingForm(forms.ModelForm):
    """A sitting: a time in a room of the centre."""

    class Meta:
        model = Sitting
        fields = ["name", "room", "starts_at", "minutes"]
        widgets = {
            "starts_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        }

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        self.fields["room"].queryset = exam.centre.rooms.all()
        self.fields["minutes"].required = False
        self.fields["minutes"].widget.attrs |= {"min": 1, "max": MOST_MINUTES}
        if not self.instance.pk:
            self.initial["minutes"] = usual_minutes(exam)

    def clean_minutes(self):
        """As long as it was where nothing is typed; the service refuses what cannot be."""
        return self.cleaned_data["minutes"] or self.initial["minutes"]

    def validate_unique(self):
        """Services refuse a name that is taken."""


class LengthForm(forms.Form):
    """The length of a sitting, which can be set until it is sat."""

    minutes = forms.IntegerField(label=_("Length (minutes)"), min_value=1, max_value=MOST_MINUTES)
    reason = forms.CharField(label=_("Reason"), max_length=500)


class RosterForm(forms.Form):
    """The file of a class list."""

    list = forms.FileField(
        label=_("Class list"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,.zip"}),
        help_text=_("CSV (UTF-8) or XLSX, at most 10,000 rows. The first line names the columns: Number and "
                    "Name are needed. Read where they are: Class, Sitting, Bench; Help with colours, Rest "
                    "breaks, Separate room, Left-handed (write yes, or leave the cell empty); Extra time (%) "
                    "(25 for a quarter more); Needs (free words, as: extra time 25 %, colour-blind, "
                    "left-handed, rest breaks, separate room). Or a ZIP with a OneRoster 1.2 set."))
    classes = forms.CharField(
        label=_("Classes, for a OneRoster set"), required=False, max_length=1000,
        help_text=_("Titles or codes, with commas between them. The other files need none."))


class CandidateForm(forms.ModelForm):
    """A candidate by hand."""

    class Meta:
        model = Candidate
        fields = [
            "number",
            "name",
            "group",
            "sitting_wish",
            "bench_wish",
            "needs_colour_help",
            "extra_time_percent",
            "rest_breaks",
            "separate_room",
            "left_handed",
        ]
        labels = {
            "needs_colour_help": _("Needs help with colours"),
            "bench_wish": _("Bench, if a certain one"),
            "sitting_wish": _("Sitting, if a certain one"),
        }
        help_texts = {"needs_colour_help": _("An invigilator may name colours where the rules of your exam "
                                             "allow it.")}

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        names = list(exam.sittings.values_list("name", flat=True))
        kept = self.instance.sitting_wish
        choices = [("", _("any"))] + [
            (name, name) for name in dict.fromkeys([*names, *([kept] if kept else [])])
        ]
        self.fields["sitting_wish"] = forms.ChoiceField(
            label=self.fields["sitting_wish"].label, choices=choices, required=False)
        self.fields["extra_time_percent"].widget.attrs |= {"min": 0, "max": 200}

    def validate_unique(self):
        """Services refuse a number that is taken."""


class ReasonForm(forms.Form):
    """Why something is undone; kept in the audit trail."""

    reason = forms.CharField(label=_("Reason"), max_length=500, widget=forms.Textarea(attrs={"rows": 2}))


class DrawForm(forms.Form):
    """What was thrown or said before witnesses."""

    public = forms.CharField(
        label=_("Thrown or said before witnesses (may stay empty)"), max_length=200, required=False,
        help_text=_("For example what a candidate threw with some dice. It goes into the draw together "
                    "with the sealed seed, so that nobody, not even who runs this computer, could know the "
                    "draw before."))


class RulesForm(forms.Form):
    """The rules of the draw that a teacher may set."""

    colour = forms.ChoiceField(
        label=_("Salts told by colour alone, for candidates who need help with colours"),
        widget=forms.RadioSelect, choices=[
            (COLOUR_NEVER, _("are never given to them")),
            (COLOUR_AVOIDED, _("are avoided where possible; else an invigilator names the colours"))])
    met_before = forms.BooleanField(
        label=_("Nobody gets a salt that they had in an earlier exam here"), required=False,
        help_text=_("Candidates are known again by number and name together."))
    within_stock = forms.BooleanField(
        label=_("No more samples of a salt than stand on the shelf"), required=False)
    close_minutes = forms.IntegerField(
        label=_("Sittings of one room are close that begin within (minutes)"), min_value=0, max_value=10080,
        help_text=_("In close sittings a bench never has the same salt. 0: no sittings are close."))
    sinks = forms.BooleanField(label=_("Benches at one sink count as neighbours"), required=False)
    apart = forms.CharField(
        label=_("Salts kept apart"), required=False, widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Salts of one line are never neighbours. Write formulas as in the pool, with commas "
                    "between them."))

    def __init__(self, *args, exam, **more):
        rules = self.kept = Rules.from_json(exam.rules)
        lines = "\n".join(", ".join(group) for group in rules.apart)
        super().__init__(*args, initial=rules.as_json() | {"apart": lines}, **more)
        self.pool = list(exam.pool.values_list("formula", flat=True))

    def clean_apart(self):
        """Groups of formulas of the pool."""
        known = {shown: formula for formula in self.pool for shown in (formula, pretty(formula))}
        lines = [[word.strip() for word in line.split(",") if word.strip()]
                 for line in self.cleaned_data["apart"].splitlines()]
        strange = sorted({word for line in lines for word in line} - known.keys())
        if strange:
            raise forms.ValidationError(_("Not in the pool: %(salts)s.") % {"salts": ", ".join(strange)})
        groups = [tuple(dict.fromkeys(known[word] for word in line)) for line in lines if line]
        if any(len(group) < 2 for group in groups):
            raise forms.ValidationError(_("A line needs two salts or more: a salt is apart from others."))
        return tuple(groups)

    def rules(self):
        """The rules as the form has them."""
        return replace(self.kept, **self.cleaned_data)


class LateForm(CandidateForm):
    """A candidate who comes after the draw."""

    reason = forms.CharField(label=_("Reason"), max_length=500)


class BrokenForm(forms.Form):
    """A bench that can no longer be used in a sitting."""

    sitting = forms.ModelChoiceField(None, label=_("Sitting"))
    bench = forms.CharField(label=_("Bench"), max_length=10)
    reason = forms.CharField(label=_("Reason"), max_length=500)

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        self.exam = exam
        self.fields["sitting"].queryset = exam.sittings.select_related("room")

    def clean(self):
        """The bench by its label."""
        sitting, label = self.cleaned_data.get("sitting"), self.cleaned_data.get("bench", "").strip()
        if sitting and label:
            self.cleaned_data["bench"] = self.found(sitting, label)
        return self.cleaned_data

    def found(self, sitting, label):
        """The bench of the plan as it stands, whatever became of the room since."""
        benches = benches_of(self.exam, sitting)
        bench = next((one for one in benches if one.label.casefold() == label.casefold()), None)
        if bench is None:
            self.add_error("bench", _("There is no open bench %(bench)s in this sitting.") % {"bench": label})
        return bench


class OpenedForm(BrokenForm):
    """A bench of the room that comes into use in a sitting."""

    def found(self, sitting, label):
        """The bench of the room, which must be open there."""
        bench = sitting.room.benches.filter(label__iexact=label, open=True).first()
        if bench is None:
            self.add_error("bench", _("There is no open bench %(bench)s in %(room)s. Put it in, or open it, "
                                      "in the room first.") % {"bench": label, "room": sitting.room})
        return bench


def drawn_candidate(exam, number):
    """The candidate with this number who has a seat; a form's error where nobody has."""
    found = exam.candidates.filter(number=number.strip(), sample__isnull=False).first()
    if found is None:
        raise forms.ValidationError(_("No candidate %(number)s is drawn.") % {"number": number.strip()})
    return found


class MoveForm(forms.Form):
    """A candidate who goes to another sitting."""

    candidate = forms.CharField(label=_("Candidate number"), max_length=40)
    sitting = forms.ModelChoiceField(
        None, label=_("To the sitting"), required=False, empty_label=_("the emptiest that suits"))
    reason = forms.CharField(label=_("Reason"), max_length=500)

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        self.exam = exam
        self.fields["sitting"].queryset = exam.sittings.all()

    def clean_candidate(self):
        """The candidate."""
        return drawn_candidate(self.exam, self.cleaned_data["candidate"])


class SwapForm(forms.Form):
    """Two candidates who sat at each other's bench."""

    one = forms.CharField(label=_("Candidate number"), max_length=40)
    other = forms.CharField(label=_("and candidate number"), max_length=40)
    reason = forms.CharField(label=_("Reason"), max_length=500)

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        self.exam = exam

    def clean_one(self):
        """The first candidate."""
        return drawn_candidate(self.exam, self.cleaned_data["one"])

    def clean_other(self):
        """The second candidate."""
        return drawn_candidate(self.exam, self.cleaned_data["other"])


class SpoiltForm(forms.Form):
    """A batch of a salt that can no longer be used."""

    salt = forms.ChoiceField(label=_("Salt"))
    sitting = forms.ModelChoiceField(None, label=_("In the sitting"), required=False, empty_label=_("all"))
    reason = forms.CharField(label=_("Reason"), max_length=500)

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        formulas = exam.pool.values_list("formula", flat=True)
        self.fields["salt"].choices = [(formula, pretty(formula)) for formula in formulas]
        self.fields["sitting"].queryset = exam.sittings.all()


class CopyForm(forms.Form):
    """The name and date of an exam that is made like an earlier one."""

    name = forms.CharField(label=_("Name"), max_length=200)
    held_on = forms.DateField(
        label=_("Date"), required=False, widget=forms.DateInput(attrs={"type": "date"}),
        help_text=_("Sittings move by as many days; without a date they have no time yet."))


class DutyForm(forms.Form):
    """A person's part in an exam."""

    user = forms.ModelChoiceField(None, label=_("Person"))
    part = forms.ChoiceField(label=_("Part"), choices=Part.choices)

    def __init__(self, *args, exam, **more):
        super().__init__(*args, **more)
        people = User.objects.filter(memberships__centre=exam.centre, is_active=True).distinct()
        self.fields["user"].queryset = people.order_by("last_name", "username")
