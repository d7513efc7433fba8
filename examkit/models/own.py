"""What a centre adds to the knowledge base: salts, strengths, outcomes, schemes, mark schemes."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from examkit.models.centre import Centre, User


class OwnKind(models.TextChoices):
    """The kinds of entries (`examkit.chemistry.knowledge.layers.KINDS`)."""

    SALT = "salt", _("salt")
    REAGENT = "reagent", _("reagent strength")
    OUTCOME = "outcome", _("outcome that is also accepted")
    SCHEME = "scheme", _("scheme of analysis")
    MARKING = "marking", _("mark scheme")


class Own(models.Model):
    """One entry of a centre's own over the shipped base; withdrawn ones are kept, but not read."""

    centre = models.ForeignKey(Centre, models.CASCADE, related_name="own")
    kind = models.CharField(_("kind"), max_length=10, choices=OwnKind)
    key = models.CharField(_("key"), max_length=80)  # formula, key of a reagent or scheme, or a number
    data = models.JSONField(default=dict)
    why = models.CharField(_("why"), max_length=300)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now=True)
    version = models.PositiveIntegerField(default=1)
    active = models.BooleanField(default=True)

    class Meta:
        verbose_name, verbose_name_plural = _("entry of our own"), _("entries of our own")
        ordering = ["kind", "key"]
        constraints = [models.UniqueConstraint(fields=["centre", "kind", "key"], name="own_entry_once")]

    def __str__(self):
        return f"{self.get_kind_display()} {self.key}"
