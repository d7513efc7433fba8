"""Rooms with benches, sittings, and the samples drawn for them."""

from datetime import timedelta

from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models.centre import Centre
from examkit.models.exam import Exam
from examkit.models.roster import Candidate

USUAL_MINUTES = 180  # of a sitting

class Room(models.Model):
    """A laboratory of a centre."""

    centre = models.ForeignKey(Centre, models.CASCADE, related_name="rooms")
    name = models.CharField(_("name"), max_length=100)
    separate = models.BooleanField(_("for candidates who need a separate room"), default=False)
    rows = models.PositiveSmallIntegerField(default=0)  # of the grid; neither bench nor fixture is an aisle
    columns = models.PositiveSmallIntegerField(default=0)
    fixtures = models.JSONField(default=list, blank=True)  # [row, column, "sink" or "fume cupboard"]

    class Meta:
        verbose_name, verbose_name_plural = _("room"), _("rooms")
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["centre", "name"], name="room_name_once_in_centre")]

    def __str__(self):
        return self.name


class Bench(models.Model):
    """A place in a room, by row and column; a closed one is never used."""

    room = models.ForeignKey(Room, models.CASCADE, related_name="benches")
    row = models.PositiveSmallIntegerField()
    column = models.PositiveSmallIntegerField()
    label = models.CharField(max_length=10)
    open = models.BooleanField(default=True)
    left_handed = models.BooleanField(_("for left-handed candidates"), default=False)

    class Meta:
        verbose_name, verbose_name_plural = _("bench"), _("benches")
        ordering = ["row", "column"]
        constraints = [models.UniqueConstraint(fields=["room", "row", "column"], name="one_bench_per_place")]

    def __str__(self):
        return self.label


class Sitting(models.Model):
    """A time in a room."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="sittings")
    room = models.ForeignKey(Room, models.PROTECT, related_name="sittings")
    name = models.CharField(_("name"), max_length=60)
    starts_at = models.DateTimeField(_("starts"), null=True, blank=True)
    minutes = models.PositiveSmallIntegerField(_("length (minutes)"), default=USUAL_MINUTES)

    class Meta:
        verbose_name, verbose_name_plural = _("sitting"), _("sittings")
        ordering = ["starts_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["exam", "name"], name="sitting_name_once_in_exam")]

    def __str__(self):
        return self.name

    @property
    def ends_at(self):
        """The end for who has no extra time and was given nothing back; None without a beginning."""
        return self.end_for()

    def end_for(self, extra_percent=0, back_min=0):
        """The end for a candidate with so much extra time (of the length) and so many minutes given back."""
        if self.starts_at is None:
            return None
        return self.starts_at + timedelta(minutes=self.minutes * (100 + extra_percent) / 100 + back_min)


class Sample(models.Model):
    """One candidate's portion: who, where, which salt, under which code."""

    exam = models.ForeignKey(Exam, models.CASCADE, related_name="samples")
    candidate = models.OneToOneField(Candidate, models.CASCADE, related_name="sample")
    sitting = models.ForeignKey(Sitting, models.PROTECT, related_name="samples")
    bench = models.ForeignKey(Bench, models.PROTECT, related_name="samples")
    salt = models.CharField(max_length=80)
    code = models.CharField(_("sample code"), max_length=12)

    class Meta:
        verbose_name, verbose_name_plural = _("sample"), _("samples")
        ordering = ["code"]
        constraints = [
            models.UniqueConstraint(fields=["exam", "code"], name="sample_code_once_in_exam"),
            models.UniqueConstraint(fields=["sitting", "bench"], name="one_sample_per_bench"),
        ]

    def __str__(self):
        return self.code
