"""What can be printed of an exam, and for whom: the one list that page, addresses and tests read."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from django.utils.translation import gettext_lazy as _

from examkit.errors import Refused
from examkit.models import Role
from examkit.printing import fill, labels
from examkit.printing.documents import PAPERS
from examkit.printing.render import render, render_stamped


@dataclass(frozen=True)
class Sheet:
    """A kind of sheet: its key (its address and file name, too), who may have it, how it is filled, set."""

    key: str
    title: str
    for_whom: str
    holds: str
    roles: tuple[Role, ...]
    fill: Callable
    template: str
    stamp: str = ""
    usual: str = ""  # for labels: the geometry that is proposed first
    sheets: Callable | None = None  # for labels: the geometries to choose from, where not all will do
    names: bool = False  # whether it tells whose a code is, to others than teachers

    @property
    def geometries(self):
        """The label sheets, or the papers, to choose from."""
        if self.sheets:
            return self.sheets()
        return labels.geometries(self.usual) if self.usual else list(PAPERS.items())

    def filled(self, exam, geometry=""):
        """The document of an exam, on the label sheet or paper of that geometry, or on the usual one."""
        if not geometry:
            return self.fill(exam)
        if geometry not in dict(self.geometries):
            raise Refused(_("There is no such label sheet or paper. Choose one from the list."))
        if self.usual:
            return self.fill(exam, geometry)
        document = self.fill(exam)
        return replace(document, heading=replace(document.heading, paper=geometry))

    def set(self, document):
        """The PDF of a filled document. Its title says the kind of sheet and nothing else."""
        if self.stamp:
            return render_stamped(document, self.template, self.stamp, title=str(self.title))
        return render(document, self.template, title=str(self.title))


SHEETS = {sheet.key: sheet for sheet in (
    Sheet("record-sheets", _("Record sheets"), _("candidates"),
          _("sample code, candidate, bench; the tests with room to write; no salt"),
          (Role.TEACHER,), fill.record_sheets, "record_sheets.html", "record_stamps.html"),
    Sheet("sample-labels", _("Sample labels"), _("tubes"),
          _("sample code; on every tube the hazards of the whole pool, so that no label tells a salt"),
          (Role.TEACHER, Role.ASSISTANT), labels.sample_labels, "sample_labels.html",
          usual=labels.SAMPLE_SHEET),
    Sheet("tray-cards", _("Tray cards"), _("trays on the benches"),
          _("what small tubes have no room for: pictograms in full size, all hazards of the whole pool, and "
            "the codes of the bench; no salts, no names"),
          (Role.TEACHER, Role.ASSISTANT), labels.tray_cards, "tray_cards.html", usual=labels.CARD_SHEET,
          sheets=labels.card_sheets),
    Sheet("bottle-labels", _("Bottle labels"), _("reagent bottles"),
          _("name, strength, hazards; date and initials are written by hand"),
          (Role.TEACHER, Role.ASSISTANT), labels.stock_labels, "stock_labels.html",
          usual=labels.BOTTLE_SHEET),
    Sheet("bench-labels", _("Labels of the bench bottles"), _("bottles on the benches"),
          _("one for every bottle of every bench: name, strength, hazards, bench"),
          (Role.TEACHER, Role.ASSISTANT), labels.bench_labels, "stock_labels.html",
          usual=labels.BENCH_SHEET),
    Sheet("assistant-list", _("Lab assistant's list"), _("lab assistant"),
          _("what to weigh, make up, put out and collect; codes and salts, no names"),
          (Role.TEACHER, Role.ASSISTANT), fill.assistant_list, "assistant_list.html"),
    Sheet("tray-list", _("Tray list"), _("lab assistant"),
          _("the bottles of every bench, the codes at each, each room's fume cupboard; no salts, no names"),
          (Role.TEACHER, Role.ASSISTANT), labels.tray_list, "tray_list.html"),
    Sheet("bench-plan-assistant", _("Bench plan for the lab assistant"), _("lab assistant"),
          _("codes and salts at their benches, no names"),
          (Role.TEACHER, Role.ASSISTANT), fill.bench_plan_for_assistant, "bench_plan.html"),
    Sheet("bench-plan-invigilator", _("Bench plan for the invigilator"), _("invigilator"),
          _("codes and candidates at their benches, no salts"),
          (Role.TEACHER, Role.INVIGILATOR), fill.bench_plan_for_invigilator, "bench_plan.html",
          names=True),
    Sheet("marking-key", _("Marking key"), _("examiners"),
          _("the expected record of every salt, with its codes; no names"),
          (Role.TEACHER, Role.EXAMINER, Role.MODERATOR), fill.marking_key, "marking_key.html"),
)}
