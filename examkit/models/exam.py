"""An exam, its pool of salts, and the expected records frozen at the draw."""

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from examkit.models.centre import Centre, User


class State(models.TextChoices):
    """An exam's life, in order."""

    DRAFT = "draft", _("draft")
    DRAWN = "drawn", _("drawn")
    PREPARED = "prepared", _("prepared")
    SAT = "sat", _("sat")
    MARKED = "marked", _("marked")
    RELEASED = "released", _("released")


class Part(models.TextChoices):
    """What a person does in one exam."""

    LEAD = "lead", _("leads the exam")
    PREPARES = "prepares", _("prepares the stock")
    INVIGILATES = "invigilates", _("invigilates")
    EXAMINES = "examines", _("examines")
    SECOND = "second marks", _("marks a second time")
    MODERATES = "moderates", _("moderates")


class Exam(models.Model):
    """One unknown-salt practical: scheme, mark scheme, pool, and how it was drawn."""

    centre = models.ForeignKey(Centre, models.PROTECT, related_name="exams")
    name = models.CharField(_("name"), max_length=200)
    held_on = models.DateField(_("date"), null=True, blank=True)
    scheme = models.CharField(_("scheme of analysis"), max_length=60)
    mark_scheme = models.CharField(_("mark scheme"), max_length=60)
    sample_mg = models.PositiveIntegerField(_("sample for one candidate (mg)"), default=1500)
    spare_percent = models.PositiveSmallIntegerField(_("spare (%)"), default=20)
    state = models.CharField(_("state"), max_length=10, choices=State, default=State.DRAFT, editable=False)
    rules = models.JSONField(default=dict, blank=True, editable=False)  # examkit.planning.rules.Rules
    edition = models.CharField(max_length=64, blank=True, editable=False)
    seed = models.CharField(max_length=64, blank=True, editable=False)
    nonce = models.CharField(max_length=64, blank=True, editable=False)
    commitment = models.CharField(max_length=64, blank=True, editable=False)
    draw = models.JSONField(default=dict, blank=True, editable=False)  # rules, balance and solver of the draw
    version = models.PositiveIntegerField(default=1, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name, verbose_name_plural = _("exam"), _("exams")
        ordering = ["-created_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["centre", "name"], name="exam_name_once_in_centre")]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        """The exam's own page."""
        return reverse("planning:exam", args=[self.pk])


class PoolSalt(models.Model):
    """A salt that may be drawn in this exam."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="pool")
    formula = models.CharField(max_length=80)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["exam", "formula"], name="salt_once_in_pool")]

    def __str__(self):
        return self.formula


class Duty(models.Model):
    """A person's part in one exam: who examines, who supervises, who prepares."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="duties")
    user = models.ForeignKey(User, models.PROTECT, related_name="duties")
    part = models.CharField(_("part"), max_length=20, choices=Part)

    class Meta:
        verbose_name, verbose_name_plural = _("duty"), _("duties")
        ordering = ["part", "pk"]
        constraints = [models.UniqueConstraint(fields=["exam", "user", "part"], name="one_duty_once")]

    def __str__(self):
        return f"{self.user}: {self.get_part_display()}"


class ExpectedRecord(models.Model):
    """What a candidate with this salt should have seen, frozen with the edition at the draw."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="expected")
    salt = models.CharField(max_length=80)
    edition = models.CharField(max_length=64)
    record = models.JSONField()  # examkit.chemistry.expect.Record.as_json()

    class Meta:
        ordering = ["salt"]
        constraints = [models.UniqueConstraint(fields=["exam", "salt"], name="expected_once_per_salt")]

    def __str__(self):
        return f"{self.exam}: {self.salt}"
