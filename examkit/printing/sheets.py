"""What can be printed of an exam, and for whom: the one list that page, addresses and tests read."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from examkit.models import Role
from examkit.printing import fill
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
          _("sample code; one hazard wording for all tubes, so that it says nothing of the salt"),
          (Role.TEACHER, Role.ASSISTANT), fill.sample_labels, "sample_labels.html"),
    Sheet("bottle-labels", _("Bottle labels"), _("reagent bottles"),
          _("name, strength, hazards; date and initials are written by hand"),
          (Role.TEACHER, Role.ASSISTANT), fill.stock_labels, "stock_labels.html"),
    Sheet("assistant-list", _("Lab assistant's list"), _("lab assistant"),
          _("what to weigh, make up, put out and collect; codes and salts, no names"),
          (Role.TEACHER, Role.ASSISTANT), fill.assistant_list, "assistant_list.html"),
    Sheet("bench-plan-assistant", _("Bench plan for the lab assistant"), _("lab assistant"),
          _("codes and salts at their benches, no names"),
          (Role.TEACHER, Role.ASSISTANT), fill.bench_plan_for_assistant, "bench_plan.html"),
    Sheet("bench-plan-invigilator", _("Bench plan for the invigilator"), _("invigilator"),
          _("codes and candidates at their benches, no salts"),
          (Role.TEACHER,), fill.bench_plan_for_invigilator, "bench_plan.html"),
    Sheet("marking-key", _("Marking key"), _("examiners"),
          _("the expected record of every salt, with its codes; no names"),
          (Role.TEACHER, Role.EXAMINER, Role.MODERATOR), fill.marking_key, "marking_key.html"),
)}
