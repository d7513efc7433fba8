"""The audit trail: one chain of entries for each centre; it only grows."""

from datetime import datetime

from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models.centre import Centre


class AuditEntry(models.Model):
    """Who did what, when, to what, and why; each entry holds the hash of the one before."""

    centre = models.ForeignKey(Centre, models.PROTECT, related_name="trail")
    sequence = models.PositiveIntegerField()
    at = models.CharField(max_length=40)  # ISO 8601 with offset, as hashed
    who = models.CharField(max_length=150)
    what = models.CharField(max_length=60)
    about = models.CharField(max_length=200)
    detail = models.JSONField(default=dict)
    previous = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        verbose_name, verbose_name_plural = _("audit entry"), _("audit trail")
        ordering = ["centre", "sequence"]
        constraints = [models.UniqueConstraint(fields=["centre", "sequence"], name="one_entry_per_number")]

    def __str__(self):
        return f"{self.sequence} {self.what} {self.about}"

    @property
    def moment(self):
        """The time as a time; what is hashed is its text."""
        return datetime.fromisoformat(self.at)
