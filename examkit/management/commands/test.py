"""All tests, in order, with one summary; or, with words after it, pytest alone with these words."""

import os
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from dataclasses import dataclass

from django.conf import settings
from django.core.management.base import BaseCommand

from examkit.management.throwaway import NoServer, postgresql
from manage import find_program

OURS = ("DATABASE_URL", "DJANGO_SETTINGS_MODULE")  # taken out of the environment: tests bring their own
EVERYTHING = ["tests", "examkit", "grading", "--doctest-modules"]
BOTH_DATABASES = ["tests", "-m", "database or journey"]


@dataclass
class Outcome:
    """How one step ended."""

    name: str
    verdict: str  # "passed", "FAILED" or "NOT RUN"
    seconds: float
    remark: str = ""


class Command(BaseCommand):
    """`manage.py test`: linter, migrations, deployment check, knowledge base, all tests on both databases."""

    help = ("Run every check and test; words after it go to pytest alone. "
            "Example: manage.py test tests/chemistry -k nickel")
    requires_system_checks = []

    def run_from_argv(self, argv):
        """Words after `test` are pytest's; --help is ours."""
        if argv[2:] and argv[2] not in ("-h", "--help"):
            with clean_environment() as environment:
                sys.exit(run([sys.executable, "-m", "pytest", *argv[2:]], environment))
        super().run_from_argv(argv)

    def handle(self, **options):
        """Run all steps, whatever fails; then the summary, and exit 1 where one failed."""
        with clean_environment() as environment:
            outcomes = [self.step(name, command, environment) for name, command in steps()]
            outcomes.append(self.on_postgresql(environment))
        self.summary(outcomes)
        if any(outcome.verdict == "FAILED" for outcome in outcomes):
            sys.exit(1)

    def step(self, name, command, environment):
        """One step under its heading."""
        self.heading(name)
        started = time.monotonic()
        failed = run(command, environment)
        return Outcome(name, "FAILED" if failed else "passed", time.monotonic() - started)

    def on_postgresql(self, environment):
        """The marked tests again on a throwaway cluster; where there is none, a failure in CI, else said."""
        name, command = "tests on PostgreSQL", pytest(*BOTH_DATABASES)
        try:
            with postgresql(find_program("initdb")) as url:
                return self.step(name, command, environment | {"DATABASE_URL": url})
        except NoServer as problem:
            verdict = "FAILED" if os.environ.get("CI") == "true" else "NOT RUN"
            return Outcome(name, verdict, 0, f"{problem}; install PostgreSQL's server to run them")

    def heading(self, text):
        """A line that stands out."""
        self.stdout.write(f"\n──── {text} " + "─" * max(4, 70 - len(text)))
        self.stdout.flush()

    def summary(self, outcomes):
        """What ran, how it ended, how long it took."""
        self.heading("summary")
        for outcome in outcomes:
            remark = f"  ({outcome.remark})" if outcome.remark else ""
            self.stdout.write(f"{outcome.verdict:8} {outcome.seconds:7.1f} s  {outcome.name}{remark}")


def steps():
    """Name and command of every step, in order; the ones on PostgreSQL come after them."""
    manage = [sys.executable, str(settings.BASE_DIR / "manage.py")]
    return [
        ("linter", [sys.executable, "-m", "ruff", "check", "--no-cache", "."]),
        ("migrations complete", [*manage, "makemigrations", "--check", "--dry-run"]),
        ("deployment check, production settings", [*manage, "check", "--deploy", "--fail-level", "WARNING"]),
        ("knowledge base", [*manage, "check_knowledge"]),
        ("tests on SQLite (layers, doctests, unit, property, reference, browser)", pytest(*EVERYTHING)),
    ]


def pytest(*words):
    """The command that runs pytest with these words, on every core."""
    return [sys.executable, "-m", "pytest", "-n", "auto", "--dist", "worksteal", *words]


@contextmanager
def clean_environment():
    """An environment in which no step touches the user's own data or settings."""
    with tempfile.TemporaryDirectory(prefix="examkit-test-") as folder:
        kept = {name: value for name, value in os.environ.items()
                if name not in OURS and (not name.startswith("EXAMKIT_") or name == "EXAMKIT_CHROMIUM")}
        yield kept | {"EXAMKIT_NO_BOOTSTRAP": "1", "EXAMKIT_VAR": folder, "PYTHONUNBUFFERED": "1"}


def run(command, environment):
    """The exit code of a command whose words go straight to the terminal."""
    return subprocess.run(command, cwd=settings.BASE_DIR, env=environment, check=False).returncode
