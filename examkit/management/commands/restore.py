"""Put a backup in the place of the live database."""

from django.core.management import call_command
from django.core.management.base import CommandError

from examkit import audit
from examkit.management import storage
from examkit.management.base import HouseCommand
from examkit.models import Centre


class Command(HouseCommand):
    """Replaces everything that is there; asks for --yes."""

    help = "Replace the database by a backup: everything entered since then is lost. Needs --yes."
    example = "manage.py restore /safe/place/examkit-2026-03-14.backup --yes"

    def add_arguments(self, parser):
        """The file to read, and the word that it is meant."""
        parser.add_argument("file")
        parser.add_argument("--yes", action="store_true", help="replace what is there")

    def handle(self, *, file, yes, **options):
        """Read it, bring it to the present tables, and note it in every trail."""
        if not yes:
            raise CommandError("What was entered since the backup will be lost. Back up, then say --yes.")
        storage.restore(file)
        call_command("migrate", verbosity=0, interactive=False)
        for centre in Centre.objects.all():
            audit.record(centre=centre, who="command line", what="database restored", about=file)
        self.stdout.write(f"Restored from {file}; noted in every centre's audit trail.")
