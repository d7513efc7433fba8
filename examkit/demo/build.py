"""The demo's exam, from roster to marked records."""

from examkit.demo.school import school


def build(*, reset=False):
    """Make the demo's school and exam where they are missing; `reset` says that the database is fresh."""
    return school()
