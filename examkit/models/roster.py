"""The class list of an exam, and what it was before each change."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models.audit import AuditEntry
from examkit.models.exam import Exam


class Candidate(models.Model):
    """A candidate, by the number and name of the class list (both kept exactly as given)."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="candidates")
    number = models.CharField(_("candidate number"), max_length=40)
    name = models.CharField(_("name"), max_length=300)
    group = models.CharField(_("class"), max_length=60, blank=True)
    sitting_wish = models.CharField(_("sitting"), max_length=60, blank=True)  # a sitting's name
    bench_wish = models.CharField(_("bench"), max_length=10, blank=True)  # a bench's label, where needed
    needs_colour_help = models.BooleanField(_("help with colours"), default=False)
    extra_time_percent = models.PositiveSmallIntegerField(_("extra time (%)"), default=0)
    rest_breaks = models.BooleanField(_("rest breaks"), default=False)
    separate_room = models.BooleanField(_("separate room"), default=False)
    left_handed = models.BooleanField(_("left-handed bench"), default=False)

    class Meta:
        verbose_name, verbose_name_plural = _("candidate"), _("candidates")
        ordering = ["number", "pk"]
        constraints = [models.UniqueConstraint(fields=["exam", "number"], name="candidate_number_once")]

    def __str__(self):
        return f"{self.number} {self.name}"


class ListAct(models.Model):
    """What candidates were before an act on a class list, so that it can be taken back.

    The trail never forgets, so names and needs are kept here: they go with the exam, and once it is sat.
    """

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="list_acts")
    entry = models.OneToOneField(AuditEntry, models.PROTECT, related_name="list_act")
    rows = models.JSONField()  # [number, fields before or null, fingerprint after or ""]

    class Meta:
        ordering = ["pk"]

    def __str__(self):
        return str(self.entry)


class ListWaiting(models.Model):
    """A class list that was confirmed, until it is imported."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="lists_waiting")
    rows = models.JSONField()  # the fields of examkit.planning.roster.Entry in order

    def __str__(self):
        return str(self.exam)
