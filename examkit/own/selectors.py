"""What is ours, as the pages show it; who needs an entry; what the forms can choose from."""

from dataclasses import dataclass

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.chemistry.describe import describe_test
from examkit.chemistry.formula import pretty
from examkit.chemistry.knowledge import model
from examkit.knowledge import knowledge, left_out
from examkit.models import Exam, Own, OwnKind, State


@dataclass(frozen=True)
class Row:
    """An entry as a line of the page."""

    entry: Own
    title: str
    told: str
    problems: tuple[str, ...] = ()  # why it is left out of the base of today


def rows_of(centre):
    """What a centre has of its own, by kind: {kind: rows}."""
    kb, problems = knowledge(centre), left_out(centre)
    rows = {kind: [] for kind in OwnKind}
    for entry in Own.objects.filter(centre=centre, active=True).select_related("by"):
        wrong = tuple(str(p) for p in problems if (p.entry.kind, p.entry.key) == (entry.kind, entry.key))
        rows[OwnKind(entry.kind)].append(Row(entry, *TOLD[entry.kind](kb, entry), wrong))
    return rows


def withdrawn(centre):
    """What a centre had of its own and has withdrawn, the last first."""
    kb = knowledge(centre)
    entries = Own.objects.filter(centre=centre, active=False).select_related("by").order_by("-at")
    return [Row(entry, *TOLD[entry.kind](kb, entry)) for entry in entries]


def _salt(kb, entry):
    salt = entry.data["salt"]
    ions = sorted(salt["ions"], key=lambda ion: ion.endswith("-"))  # a database may order keys otherwise
    return salt["name"], f"{pretty(salt['formula'])}; {', '.join(map(pretty, ions))}"


def _reagent(kb, entry):
    shipped, ours = knowledge().reagents.get(entry.key), kb.reagents.get(entry.key)
    if not shipped or not ours:
        return entry.key, ""
    return ours.name, _("%(ours)s instead of %(shipped)s") % {
        "ours": strength_told(ours), "shipped": strength_told(shipped)}


def strength_told(reagent):
    """The strength of a reagent with its unit; a dash where it has none."""
    for value, unit in ((reagent.strength_mol_L, "mol/L"), (reagent.percent_w_v, "% w/v"),
                        (reagent.percent_w_w, "% w/w")):
        if value is not None:
            return f"{value:g} {unit}"
    return "–"


def _outcome(kb, entry):
    data, test = entry.data, kb.tests.get(entry.data["test"])
    if test is None or data["facet"] not in test.facets:
        return pretty(data["subject"]), data["test"]
    told = outcome_told(test, data["facet"], outcomes(data["seen"]))
    return f"{pretty(data['subject'])}, {test.title}", told


def outcomes(seen):
    """Outcomes from their stored form."""
    return tuple(model.Outcome(**{**item, "colours": tuple(item.get("colours", ()))}) for item in seen)


def outcome_told(test, facet, seen):
    """Outcomes of one facet in words."""
    return describe_test(test, [(facet, tuple(seen))])


def _scheme(kb, entry):
    scheme = entry.data["scheme"]
    count = len(scheme["tests"])
    return scheme["title"], ngettext("%(n)d test", "%(n)d tests", count) % {"n": count}


def _marking(kb, entry):
    marking = entry.data["marking"]
    return marking["title"], _("smallest step %(step)s") % {"step": marking["step_marks"]}


TOLD = {"salt": _salt, "reagent": _reagent, "outcome": _outcome, "scheme": _scheme, "marking": _marking}


NAMED_BY = {OwnKind.SCHEME: "scheme", OwnKind.MARKING: "mark_scheme"}  # the field of an exam


def _exams_by(entry):
    """The exams that name a scheme or mark scheme."""
    return Exam.objects.filter(centre=entry.centre, **{NAMED_BY[entry.kind]: entry.key})


def used_by(entry):
    """What needs a salt, a scheme or a mark scheme: exams that name it, a bottle on the shelf."""
    if entry.kind in NAMED_BY:
        return list(_exams_by(entry).values_list("name", flat=True))
    if entry.kind != OwnKind.SALT:
        return []
    named = {}
    for formula, exam in _named_salts(entry.centre):
        if entry.key in formula.split(" + "):
            named[exam] = None
    if entry.centre.shelf.filter(substance=entry.key).exists():
        named[_("a bottle on the shelf")] = None
    return list(named)


def _named_salts(centre):
    """(specimen, exam's name) of every pool and every drawn sample of a centre."""
    exams = Exam.objects.filter(centre=centre)
    yield from exams.exclude(pool=None).values_list("pool__formula", "name")
    yield from exams.exclude(samples=None).values_list("samples__salt", "name").distinct()


def frozen_by(entry):
    """Exams whose sheets, records and marks must go on fitting this (mark) scheme: sealed or drawn, not yet
    released."""
    if entry.kind not in NAMED_BY:
        return []
    held = Q(state=State.DRAFT) & ~Q(commitment="") | Q(
        state__in=[State.DRAWN, State.PREPARED, State.SAT, State.MARKED])
    return list(_exams_by(entry).filter(held).values_list("name", flat=True))


def colour_words(kb):
    """The colour words with their swatches, by name."""
    return sorted(kb.colours.values(), key=lambda colour: colour.word)
