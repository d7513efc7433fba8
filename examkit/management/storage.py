"""Copies of the whole database while it is in use, and back again."""

import os
import shutil
import sqlite3
import subprocess
import time
from contextlib import closing
from pathlib import Path

from django.db import connection

from examkit.errors import ExamkitError

PG_VARIABLES = {"PGHOST": "HOST", "PGPORT": "PORT", "PGUSER": "USER", "PGPASSWORD": "PASSWORD",
                "PGDATABASE": "NAME"}
PATIENCE_S = 20
TABLE = "examkit_centre"  # what shows that a file is a copy of our database


class StorageError(ExamkitError):
    """A backup cannot be written or read; the message says why."""


def backup(file):
    """Write a consistent copy of the live database to a new file, readable by its owner only."""
    file = Path(file)
    if file.exists():
        raise StorageError(f"{file} is there already. Name a new file; backups are never overwritten.")
    if not file.parent.is_dir():
        raise StorageError(f"There is no folder {file.parent}.")
    draft = file.with_name(f".{file.name}.part")
    os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600))
    try:
        _VENDORS[connection.vendor].write(draft)
        draft.rename(file)
    finally:
        draft.unlink(missing_ok=True)


def restore(file):
    """Put the copy in the place of the live database."""
    file = Path(file)
    if not file.is_file():
        raise StorageError(f"There is no file {file}.")
    _VENDORS[connection.vendor].read(file)


class Sqlite:
    """SQLite's own backup, page by page under its locks; copying the file would miss its journal."""

    @staticmethod
    def write(file):
        """Copy what is committed; people may go on working."""
        _copy(source=_live(), target=file)
        with closing(sqlite3.connect(file)) as copy:
            copy.execute("PRAGMA journal_mode=DELETE")  # one file, nothing beside it
        Sqlite.check(file)

    @staticmethod
    def read(file):
        """Copy it over the live database, once no one is writing."""
        Sqlite.check(file)
        connection.close()
        _copy(source=file, target=_live())

    @staticmethod
    def check(file):
        """Refuse a file that is not a whole copy of our database."""
        try:
            with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as copy:
                result = copy.execute("PRAGMA integrity_check").fetchone()[0]
                ours = copy.execute("SELECT 1 FROM sqlite_master WHERE name = ?", [TABLE]).fetchone()
        except sqlite3.DatabaseError as problem:
            raise StorageError(f"{file} is not an SQLite database ({problem}).") from problem
        if result != "ok" or not ours:
            raise StorageError(f"{file} is damaged or not a backup of examkit ({result}).")


class Postgresql:
    """PostgreSQL's own pg_dump and pg_restore."""

    @staticmethod
    def write(file):
        """Dump one snapshot; people may go on working."""
        _run("pg_dump", "--format=custom", "--no-owner", f"--file={file}")

    @staticmethod
    def read(file):
        """Restore in one transaction: all of it or nothing."""
        _run("pg_restore", "--list", str(file))
        connection.close()
        _run("pg_restore", "--clean", "--if-exists", "--no-owner", "--single-transaction",
             f"--dbname={connection.settings_dict['NAME']}", str(file))


def _live():
    return Path(connection.settings_dict["NAME"])


def _copy(*, source, target):
    """Copy one database into another; waits for a writer, but not for ever."""
    started = time.monotonic()

    def patience(status, _left, _all):
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() > started + PATIENCE_S:
            raise StorageError("The database is in use. Stop the server, or try again in a moment.")

    with closing(sqlite3.connect(f"{source.resolve().as_uri()}?mode=ro", uri=True)) as old:
        with closing(sqlite3.connect(target, timeout=0)) as new:
            old.backup(new, progress=patience)


_VENDORS = {"sqlite": Sqlite, "postgresql": Postgresql}


def _run(program, *words):
    """Run one of PostgreSQL's programs on our database; the password goes by the environment."""
    if not shutil.which(program):
        raise StorageError(f"{program} was not found. Install PostgreSQL's client programs.")
    settings = connection.settings_dict
    environment = {variable: str(settings[key]) for variable, key in PG_VARIABLES.items() if settings[key]}
    done = subprocess.run([program, *words], env=os.environ | environment, capture_output=True, check=False)
    if done.returncode:
        raise StorageError(f"{program}: {done.stderr.decode(errors='replace').strip()[-500:]}")
