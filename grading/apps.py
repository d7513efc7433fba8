"""The marker as a Django app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class GradingConfig(AppConfig):
    """Marking and moderation."""

    name = "grading"
    label = "grading"
    verbose_name = _("marking")
    default_auto_field = "django.db.models.BigAutoField"
