"""Second marking: samples of records as drawn, who marks which of them blind, and what they gave."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models import Exam
from grading.models.award import Mark
from grading.models.record import Record


class SecondRules(models.Model):
    """What a teacher lets stand in one exam without settling; as long as there is none, nothing."""

    exam = models.OneToOneField(Exam, models.CASCADE, related_name="second_rules")
    allowed_steps = models.PositiveSmallIntegerField(
        default=0
    )  # a difference in one part up to this may stand

    class Meta:
        verbose_name, verbose_name_plural = _("rules of second marking"), _("rules of second marking")

    def __str__(self):
        return f"{self.exam}"


class SecondDraw(models.Model):
    """One draw of records for second marking; from its seed, what it chose from can be drawn again."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="second_draws")
    seed = models.CharField(max_length=64)
    chosen_from = (
        models.JSONField()
    )  # what the draw was told: records, second markers, what was chosen before
    reason = models.TextField(blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name, verbose_name_plural = _("draw for second marking"), _("draws for second marking")
        ordering = ["pk"]

    def __str__(self):
        return f"{self.exam}: {self.at:%Y-%m-%d %H:%M}"


class SecondMarking(models.Model):
    """One record that is marked a second time, by a person who gave it no mark the first time."""

    draw = models.ForeignKey(SecondDraw, models.PROTECT, related_name="markings")
    record = models.OneToOneField(Record, models.PROTECT, related_name="second")
    marker = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="second_markings")
    finished_at = models.DateTimeField(null=True)  # until then the first marks are hidden from the marker

    class Meta:
        verbose_name, verbose_name_plural = _("second marking"), _("second markings")
        ordering = ["record__sample__code"]

    def __str__(self):
        return f"{self.record}"


class SecondMark(Mark):
    """What the second marker gives one part: beside the awards, never one of them.

    The first mark is noted when the second marking is finished; what was settled, when it is settled.
    """

    marking = models.ForeignKey(SecondMarking, models.CASCADE, related_name="marks")
    first_steps = models.PositiveSmallIntegerField(null=True)
    first_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    first_reason = models.TextField(blank=True)
    settled_steps = models.PositiveSmallIntegerField(null=True)
    settled_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")

    class Meta:
        verbose_name, verbose_name_plural = _("second mark"), _("second marks")
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["marking", "part"], name="second_mark_once_per_part"),
            models.CheckConstraint(
                condition=models.Q(steps__lte=models.F("out_of_steps")), name="second_mark_within_marks"
            ),
        ]

    def __str__(self):
        return f"{self.marking}: {self.part} {self.steps}/{self.out_of_steps}"
