"""The planner as a Django app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class ExamkitConfig(AppConfig):
    """Planning, stock room, printing, and the house around them."""

    name = "examkit"
    label = "examkit"
    verbose_name = _("practical exam")
    default_auto_field = "django.db.models.BigAutoField"
