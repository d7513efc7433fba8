"""Copy the live database to a file."""

from examkit.management import storage
from examkit.management.base import HouseCommand


class Command(HouseCommand):
    """A consistent copy, also while people work."""

    help = "Write a consistent copy of the database to a new file, also while people work."
    example = "manage.py backup /safe/place/examkit-2026-03-14.backup"

    def add_arguments(self, parser):
        """The file to write."""
        parser.add_argument("file")

    def handle(self, *, file, **options):
        """Write it and say so."""
        storage.backup(file)
        self.stdout.write(f"Copied to {file}. It holds answer keys and marks: keep it locked away.")
