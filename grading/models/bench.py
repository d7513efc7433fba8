"""The bench page: what is allowed there, and the one-time codes that let candidates in."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models import Exam, Sample


class BenchRules(models.Model):
    """What all candidates of an exam may do at the bench; as long as there is none, nothing is offered."""

    exam = models.OneToOneField(Exam, models.CASCADE, related_name="bench_rules")
    choices = models.BooleanField(_("outcomes may be chosen from lists"), default=False)

    class Meta:
        verbose_name, verbose_name_plural = _("rules of the bench page"), _("rules of the bench page")

    def __str__(self):
        return f"{self.exam}"


class BenchCode(models.Model):
    """One one-time code for one sample; only its digest is kept. A new one ends those before it."""

    sample = models.ForeignKey(Sample, models.CASCADE, related_name="bench_codes")
    digest = models.CharField(max_length=64)
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(auto_now_add=True)
    until = models.DateTimeField(_("may write until"))
    used_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    handed_in = models.BooleanField(_("handed in"), default=False)

    class Meta:
        verbose_name, verbose_name_plural = _("one-time code"), _("one-time codes")
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["sample"], condition=models.Q(ended_at=None),
                                               name="one_open_bench_code_per_sample")]

    def __str__(self):
        return f"{self.sample}"
