"""Words of the results' pages and files."""

from django.utils.translation import gettext_lazy as _

from grading.marking.parts import RESULT

STAGES = {
    "preliminary": _("preliminary"),
    "dry": _("dry"),
    "wet": _("wet"),
    "anion": _("anion"),
    RESULT: _("result"),
}


def stage_label(stage):
    """The name of a stage in words."""
    return str(STAGES.get(stage, stage))
