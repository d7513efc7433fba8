"""What the day asks for before an exam is sat (settings.EXAM_CONDITIONS names this)."""

from django.utils.translation import ngettext

from examkit.day.selectors import sittings_of


def missing_before_sat(exam):
    """Sittings in which somebody is neither present nor absent, as sentences."""
    return [
        ngettext("%(n)d candidate of the sitting “%(name)s” is neither present nor absent. Note it.",
                 "%(n)d candidates of the sitting “%(name)s” are neither present nor absent. Note it.",
                 row.unknown) % {"n": row.unknown, "name": row.sitting.name}
        for row in sittings_of(exam) if row.unknown
    ]
