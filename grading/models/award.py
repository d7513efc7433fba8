"""Marks with reasons."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from grading.models.record import Record


class Mark(models.Model):
    """Marks for one part of a record, in smallest steps of the mark scheme; set by a person's act only."""

    part = models.CharField(max_length=80)  # "flame.observation", "flame.inference", "result.cation", ...
    steps = models.PositiveSmallIntegerField(_("marks"))
    out_of_steps = models.PositiveSmallIntegerField()
    suggested_steps = models.PositiveSmallIntegerField(null=True)
    reason = models.TextField(blank=True)
    suggestion = models.JSONField(default=dict)  # what the program suggested, with reason and rules
    edition = models.CharField(max_length=64)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True


class Award(Mark):
    """The marks that count for one part of a record."""

    record = models.ForeignKey(Record, models.CASCADE, related_name="awards")

    class Meta:
        verbose_name, verbose_name_plural = _("award"), _("awards")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["record", "part"], name="award_once_per_part"),
            models.CheckConstraint(
                condition=models.Q(steps__lte=models.F("out_of_steps")), name="award_within_marks"),
        ]

    def __str__(self):
        return f"{self.record}: {self.part} {self.steps}/{self.out_of_steps}"
