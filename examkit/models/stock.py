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
    lot = models.CharField(_("lot"), max_length=60, blank=True)
    grade = models.CharField(_("grade"), max_length=60, blank=True)
    percent_w_w_hundredths = models.PositiveIntegerField(null=True, blank=True)  # 3600: 36 % by mass
    density_mg_mL = models.PositiveIntegerField(null=True, blank=True)
    set_aside = models.CharField(_("set aside because"), max_length=300, blank=True)  # empty: in use
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


class Trial(models.Model):
    """One bottle of a salt, tried on the scheme for one exam; the bottle may be used up, its words stay."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="trials")
    salt = models.CharField(max_length=80)
    bottle = models.ForeignKey(ShelfItem, models.SET_NULL, null=True, related_name="trials")
    named = models.CharField(max_length=250)  # lot, grade and date as they stood on the bottle
    record = models.JSONField(null=True)  # the expected record as amended, frozen; null: as the salt's
    edition = models.CharField(max_length=64, blank=True)

    class Meta:
        verbose_name, verbose_name_plural = _("trial"), _("trials")
        ordering = ["salt", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["exam", "salt", "bottle"], name="trial_once_per_bottle")]

    def __str__(self):
        return f"{self.exam}: {self.salt}, {self.named}"


class TrialLine(models.Model):
    """What the assistant saw in one test with one bottle, and whether it is as expected."""

    trial = models.ForeignKey(Trial, models.CASCADE, related_name="lines")
    test = models.CharField(max_length=60)
    seen = models.CharField(_("seen"), max_length=500, blank=True)
    agrees = models.BooleanField(null=True)  # null: not tried yet
    by = models.ForeignKey(User, models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(auto_now=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["trial", "test"], name="trial_line_once_per_test")]

    def __str__(self):
        return f"{self.trial}: {self.test}"


class Amendment(models.Model):
    """What is also accepted in one test for the samples of one bottle; one taken back is kept."""

    trial = models.ForeignKey(Trial, models.CASCADE, related_name="amendments")
    test = models.CharField(max_length=60)
    facet = models.CharField(max_length=60)
    seen = models.JSONField()  # outcomes, as an expected record has them
    why = models.CharField(_("why"), max_length=300)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    undone_why = models.CharField(max_length=300, blank=True)
    undone_by = models.ForeignKey(User, models.PROTECT, null=True, related_name="+")

    class Meta:
        verbose_name, verbose_name_plural = _("amendment"), _("amendments")
        ordering = ["pk"]

    def __str__(self):
        return f"{self.trial}: {self.test}.{self.facet}"


class Tube(models.Model):
    """One tube that was filled: from which bottle, with how much. A spare one has no sample."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="tubes")
    salt = models.CharField(max_length=80)
    label = models.CharField(max_length=20)  # the sample code, or the number of a spare tube
    sample = models.OneToOneField("examkit.Sample", models.CASCADE, null=True, related_name="tube")
    trial = models.ForeignKey(Trial, models.PROTECT, related_name="tubes")
    mass_mg = models.PositiveIntegerField(_("mass (mg)"), null=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["salt", "pk"]
        constraints = [models.UniqueConstraint(fields=["exam", "salt", "label"], name="tube_once_per_label")]

    def __str__(self):
        return self.label
