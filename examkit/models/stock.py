"""What stands on the shelf, and what has been prepared for an exam."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models.centre import Centre, User
from examkit.models.exam import Exam


class ShelfItem(models.Model):
    """A bottle or jar of the centre: a salt by formula, or a reagent by key."""

    centre = models.ForeignKey(Centre, models.CASCADE, related_name="shelf")
    substance = models.CharField(_("substance"), max_length=80)  # formula of a salt or key of a reagent
    strength_mmol_L = models.PositiveIntegerField(_("strength (mmol/L)"), null=True, blank=True)
    amount = models.PositiveIntegerField(_("amount"), help_text=_("mg of a solid, µL of a liquid"))
    made_on = models.DateField(_("made on"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        verbose_name, verbose_name_plural = _("bottle"), _("shelf")
        ordering = ["substance", "pk"]

    def __str__(self):
        return self.substance


class Preparation(models.Model):
    """A line of the lab assistant's list that was done: weighed, made up, tried on the scheme."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="preparations")
    item = models.CharField(max_length=120)  # "salt:NiCl2.6H2O", "reagent:sodium-hydroxide-2M", "bottle:..."
    done = models.BooleanField(default=False)
    by = models.ForeignKey(User, models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(auto_now=True)
    note = models.CharField(max_length=300, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["exam", "item"], name="preparation_once_per_item")]

    def __str__(self):
        return self.item
