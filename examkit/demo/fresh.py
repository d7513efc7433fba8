"""An empty database for `demo --reset`."""

from contextlib import suppress
from pathlib import Path

from django.db import OperationalError, ProgrammingError, connection

from examkit.demo.school import refuse_beside_real_data


def empty_database():
    """Remove everything, unless somebody else's data are there."""
    with suppress(OperationalError, ProgrammingError):  # no tables yet
        refuse_beside_real_data()
    if connection.vendor == "sqlite":
        _remove_files()
    else:
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE; CREATE SCHEMA public")


def _remove_files():
    connection.close()
    for end in ("", "-wal", "-shm"):
        Path(f"{connection.settings_dict['NAME']}{end}").unlink(missing_ok=True)
