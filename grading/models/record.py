"""What a candidate wrote."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models import Sample


class Way(models.TextChoices):
    """How a record came in."""

    EXAMINER = "examiner", _("entered by an examiner")
    BENCH = "bench", _("typed at the bench by the candidate")
    FILE = "file", _("imported from a file")


class Record(models.Model):
    """The record of one sample, as written."""

    sample = models.OneToOneField(Sample, models.PROTECT, related_name="record")
    cation = models.CharField(_("cation found"), max_length=200, blank=True)
    anion = models.CharField(_("anion found"), max_length=200, blank=True)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    entered_at = models.DateTimeField(auto_now=True)
    way = models.CharField(_("came in"), max_length=10, choices=Way, default=Way.EXAMINER)
    absent = models.BooleanField(_("no record handed in"), default=False)
    paper = models.JSONField(default=dict, blank=True)  # what the program suggests, and by which rules
    finished = models.BooleanField(_("fully marked"), default=False)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        verbose_name, verbose_name_plural = _("record"), _("records")
        ordering = ["sample__code"]

    def __str__(self):
        return self.sample.code


class RecordLine(models.Model):
    """One line of a record: what was written for one test (chosen outcomes are written out as words, too)."""

    record = models.ForeignKey(Record, models.CASCADE, related_name="lines")
    test = models.CharField(max_length=60)
    observation = models.TextField(_("observation"), blank=True)
    inference = models.TextField(_("inference"), blank=True)
    chosen = models.JSONField(default=list, blank=True)  # the outcomes chosen from lists: facet, key, text
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["record", "test"], name="line_once_per_test")]

    def __str__(self):
        return f"{self.record}: {self.test}"
