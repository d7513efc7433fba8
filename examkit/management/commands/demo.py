"""An invented school with one exam, built and served."""

import os
import socket
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection

from examkit.demo.build import build
from examkit.demo.fresh import empty_database
from examkit.demo.school import sign_ins
from examkit.management.base import HouseCommand

HOST = "127.0.0.1"


class Command(HouseCommand):
    """Builds what is missing, prints one sign-in for each role, and serves on this machine only."""

    help = "Make an invented school's exam, from roster to marked records, and serve it on this machine."
    example = "manage.py demo --port 8080"
    requires_system_checks = []

    def add_arguments(self, parser):
        """Whether to serve, where, and whether to begin anew."""
        parser.add_argument("--no-serve", action="store_true", help="build, print the sign-ins, and stop")
        parser.add_argument("--reset", action="store_true", help="throw the demo's database away first")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *, no_serve, reset, port, **options):
        """Build, tell, serve."""
        if not settings.DEMO:
            raise CommandError("The demo has known sign-ins, so it never starts on a real set-up. "
                               "Set EXAMKIT_DEMO=1 if you mean it.")
        if not no_serve:
            refuse_busy(port)
        self.build(reset)
        self.tell(port)
        if not no_serve:
            serve(port)

    def build(self, reset):
        """The database with its tables, and all that the demo shows."""
        if reset:
            empty_database()
        make_folders()
        self.stdout.write("Building the demo ...")
        self.stdout.flush()
        call_command("migrate", verbosity=0, interactive=False)
        build(reset=reset)

    def tell(self, port):
        """The address, and who can sign in."""
        self.stdout.write(f"\nexamkit's demo: http://localhost:{port}/\n\nSign in as")
        for role, username, password in sign_ins():
            self.stdout.write(f"  {role:14} {username:8} password: {password}")
        self.stdout.write("")
        self.stdout.flush()


def make_folders():
    """SQLite makes its file, but not the folder; WhiteNoise warns where static files have none."""
    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    if connection.vendor == "sqlite":
        Path(connection.settings_dict["NAME"]).parent.mkdir(parents=True, exist_ok=True)


def refuse_busy(port):
    """A port in use is told before anything is built."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except (OSError, OverflowError) as problem:
            raise CommandError(f"Port {port} cannot be used ({problem}). Try --port {port + 1}.") from problem


def serve(port):
    """Django's own server without reloader: one machine, one visitor; a school uses gunicorn."""
    os.environ["DJANGO_RUNSERVER_HIDE_WARNING"] = "true"
    call_command("runserver", f"{HOST}:{port}", use_reloader=False, skip_checks=True)
