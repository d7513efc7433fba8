"""Consent to the release of an exam's results."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models import Exam, Role


class Approval(models.Model):
    """One person's consent, in one role, to results that have this digest; other results need it anew."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="approvals")
    role = models.CharField(_("role"), max_length=20, choices=Role)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now=True)
    digest = models.CharField(max_length=64)

    class Meta:
        verbose_name, verbose_name_plural = _("approval"), _("approvals")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["exam", "role"], name="approval_once_per_role"),
            models.UniqueConstraint(fields=["exam", "by"], name="approval_once_per_person"),
        ]

    def __str__(self):
        return f"{self.exam}: {self.by}, {self.get_role_display()}"
