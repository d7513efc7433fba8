"""What happens on the day: each act of an invigilator, as it was noted; one taken back is kept."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models.centre import User
from examkit.models.sitting import Sample, Sitting


class Happening(models.TextChoices):
    """What can be noted on the day."""

    PRESENT = "present", _("present")
    ABSENT = "absent", _("absent")
    SECOND = "second sample", _("second sample")
    COLOUR = "colour named", _("colour named")
    TIME = "time given back", _("time given back")
    INCIDENT = "incident", _("incident")
    LEFT = "left", _("finished and left")


class DayNote(models.Model):
    """One thing that happened in a sitting, to one candidate or to all."""

    sitting = models.ForeignKey(Sitting, models.CASCADE, related_name="day")
    sample = models.ForeignKey(Sample, models.CASCADE, null=True, related_name="day")  # null: all
    kind = models.CharField(_("what"), max_length=20, choices=Happening)
    test = models.CharField(_("test"), max_length=60, blank=True)
    minutes = models.PositiveSmallIntegerField(_("minutes"), null=True)
    words = models.CharField(_("words"), max_length=500, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    undone_why = models.CharField(max_length=300, blank=True)
    undone_by = models.ForeignKey(User, models.PROTECT, null=True, related_name="+")
    undone_at = models.DateTimeField(null=True)

    class Meta:
        verbose_name, verbose_name_plural = _("note of the day"), _("notes of the day")
        ordering = ["pk"]

    def __str__(self):
        return f"{self.sitting}: {self.get_kind_display()}"
