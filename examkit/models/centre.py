"""A centre (the school), its people and their roles."""

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    """What a person may do in a centre (the rules stand in `examkit.access`)."""

    TEACHER = "teacher", _("teacher")
    ASSISTANT = "lab assistant", _("lab assistant")
    EXAMINER = "examiner", _("examiner")
    MODERATOR = "moderator", _("moderator")
    INVIGILATOR = "invigilator", _("invigilator")


class User(AbstractUser):
    """A person who signs in."""

    def __str__(self):
        return self.get_full_name() or self.username


class Centre(models.Model):
    """A school, college or board's centre; everything belongs to one."""

    name = models.CharField(_("name"), max_length=200)
    slug = models.SlugField(unique=True)

    class Meta:
        verbose_name, verbose_name_plural = _("centre"), _("centres")

    def __str__(self):
        return self.name


class Membership(models.Model):
    """One role of one person in one centre."""

    centre = models.ForeignKey(Centre, models.CASCADE, related_name="memberships")
    user = models.ForeignKey(User, models.CASCADE, related_name="memberships")
    role = models.CharField(_("role"), max_length=20, choices=Role)

    class Meta:
        verbose_name, verbose_name_plural = _("membership"), _("memberships")
        constraints = [models.UniqueConstraint(fields=["centre", "user", "role"], name="one_role_once")]

    def __str__(self):
        return f"{self.user}, {self.get_role_display()}, {self.centre}"
