"""Everything the demo shows; other packages add theirs through settings.DEMO_PARTS."""

from django.conf import settings
from django.utils.module_loading import import_string

from examkit.demo.exams import exams
from examkit.demo.school import school


def build(*, reset=False):
    """Make the demo's school and exams where they are missing; `reset` says that the database is fresh."""
    centre = school()
    exams(centre)
    for part in settings.DEMO_PARTS:
        import_string(part)(centre)
    return centre
