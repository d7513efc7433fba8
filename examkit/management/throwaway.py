"""A PostgreSQL server for one test run: made in a moment, reached by a socket only, gone afterwards."""

import os
import shutil
import subprocess
import tempfile
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

OWNER = "postgres"
FAST = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c listen_addresses='' -k {folder}"


class NoServer(Exception):
    """PostgreSQL cannot be started here; the message says why."""


@contextmanager
def postgresql(initdb):
    """The DATABASE_URL of a fresh cluster, which lives as long as the block."""
    if not initdb:
        raise NoServer("no PostgreSQL server is installed (initdb was not found)")
    folder = Path(tempfile.mkdtemp(prefix="examkit-pg-"))  # a short path: socket names end at 107 characters
    control = Path(initdb).resolve().with_name("pg_ctl")
    try:
        _own(folder)
        _run([initdb, "-D", folder / "data", "-U", OWNER, "-A", "trust", "-E", "UTF8", "--locale=C", "-N"])
        options = FAST.format(folder=folder)
        _run([control, "-D", folder / "data", "-l", folder / "log", "-o", options, "-w", "start"])
        try:
            yield f"postgres://{OWNER}@{quote(str(folder), safe='')}/postgres"
        finally:
            _run([control, "-D", folder / "data", "-m", "immediate", "stop"])
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _own(folder):
    """PostgreSQL refuses to run as root, so there the cluster belongs to its own user."""
    if _is_root():
        try:
            shutil.chown(folder, OWNER)
        except LookupError as problem:
            raise NoServer(f"root cannot run PostgreSQL, and there is no user {OWNER}") from problem


def _run(command):
    who = {"user": OWNER, "group": OWNER, "extra_groups": []} if _is_root() else {}
    words = [str(word) for word in command]
    try:
        done = subprocess.run(words, cwd="/", stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                              stderr=subprocess.PIPE, check=False, **who)
    except OSError as problem:
        raise NoServer(f"{Path(words[0]).name} failed: {problem.strerror}") from problem
    if done.returncode:
        raise NoServer(f"{Path(words[0]).name} failed: {done.stderr.decode()[-500:].strip()}")


def _is_root():
    return hasattr(os, "geteuid") and os.geteuid() == 0
