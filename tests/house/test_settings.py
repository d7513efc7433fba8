"""Settings: safe as they stand, changed by EXAMKIT_ variables only."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured

from examkit import apps, environment
from examkit.logs import QuietFormatter

ROOT = Path(environment.__file__).parent.parent
ASK = """
import json
from django.conf import settings
names = "DEBUG DEMO SECURE_SSL_REDIRECT SESSION_COOKIE_SECURE SECURE_HSTS_SECONDS TIME_ZONE".split()
engine = settings.DATABASES["default"]["ENGINE"]
print(json.dumps({name: getattr(settings, name) for name in names} | {"db": engine}))
"""


def settings_with(tmp_path, code=ASK, **variables):
    """The settings of a fresh process with these variables and no others of ours."""
    kept = {name: value for name, value in os.environ.items()
            if not name.startswith(("EXAMKIT_", "DATABASE_URL"))}
    kept |= {"DJANGO_SETTINGS_MODULE": "examkit.settings", "EXAMKIT_VAR": str(tmp_path), **variables}
    return subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=kept, capture_output=True, text=True,
                          check=False)


def test_without_any_variable_the_settings_are_safe_for_production(tmp_path):
    assert json.loads(settings_with(tmp_path).stdout) == {
        "DEBUG": False, "DEMO": False, "SECURE_SSL_REDIRECT": True, "SESSION_COOKIE_SECURE": True,
        "SECURE_HSTS_SECONDS": 31536000, "TIME_ZONE": "UTC", "db": "django.db.backends.sqlite3"}


def test_the_demo_speaks_plain_http_on_this_machine(tmp_path):
    assert not json.loads(settings_with(tmp_path, EXAMKIT_DEMO="1").stdout)["SECURE_SSL_REDIRECT"]


def test_variables_change_database_and_time_zone(tmp_path):
    run = settings_with(tmp_path, DATABASE_URL="postgres://x@y/z", EXAMKIT_TIME_ZONE="Asia/Kolkata")
    said = json.loads(run.stdout)

    assert (said["db"], said["TIME_ZONE"]) == ("django.db.backends.postgresql", "Asia/Kolkata")


def test_a_flag_that_is_neither_yes_nor_no_is_told(monkeypatch):
    monkeypatch.setenv("EXAMKIT_DEBUG", "maybe")

    with pytest.raises(ImproperlyConfigured, match="EXAMKIT_DEBUG is 'maybe'. Write 1 or 0."):
        environment.flag("DEBUG", default=False)


def test_the_secret_key_of_the_environment_is_used(monkeypatch, tmp_path):
    monkeypatch.setenv("EXAMKIT_SECRET_KEY", "from outside")

    assert environment.secret_key(tmp_path) == "from outside" and list(tmp_path.iterdir()) == []


def test_else_a_key_is_made_once_and_kept_privately(monkeypatch, tmp_path):
    monkeypatch.delenv("EXAMKIT_SECRET_KEY", raising=False)
    key = environment.secret_key(tmp_path / "var")

    assert len(key) >= 64 and environment.secret_key(tmp_path / "var") == key
    assert [file.name for file in (tmp_path / "var").iterdir()] == ["secret-key"]
    assert (tmp_path / "var" / "secret-key").stat().st_mode & 0o777 == 0o600


def test_where_no_key_can_be_kept_the_way_out_is_told(monkeypatch, tmp_path):
    monkeypatch.delenv("EXAMKIT_SECRET_KEY", raising=False)
    (tmp_path / "file").touch()

    with pytest.raises(ImproperlyConfigured, match="Set EXAMKIT_SECRET_KEY"):
        environment.secret_key(tmp_path / "file")


def test_sqlite_is_set_so_that_no_acknowledged_save_is_lost(tmp_path):
    code = """
import django; django.setup()
from django.db import connection
with connection.cursor() as cursor:
    for name in ("journal_mode", "synchronous", "busy_timeout"):
        print(cursor.execute(f"PRAGMA {name}").fetchone()[0])
    print(connection.transaction_mode)
"""
    assert settings_with(tmp_path, code).stdout.split() == ["wal", "2", "20000", "IMMEDIATE"]


def test_a_knowledge_base_that_does_not_load_is_found_before_the_school_finds_it(settings, tmp_path):
    settings.KNOWLEDGE_DIR = tmp_path

    (error,) = apps.knowledge_loads(None)

    assert (error.id, error.hint) == ("examkit.E001", "python manage.py check_knowledge")


def test_a_missing_font_is_found(monkeypatch):
    monkeypatch.setattr(apps, "FONTS", ("LinLibertine_R.woff2", "Nowhere.ttf"))

    assert [error.msg for error in apps.fonts_are_there(None)] == ["Fonts are missing: Nowhere.ttf."]


def test_a_log_line_keeps_kind_and_place_of_an_error_but_not_its_words():
    try:
        int("Ada has NiCl2".replace(" ", "_"))
    except ValueError:
        said = QuietFormatter().formatException(sys.exc_info())

    assert said.endswith("ValueError") and "test_settings.py" in said
    assert "Ada_has_NiCl2" not in said


def test_a_log_line_drops_what_stands_after_a_question_mark():
    import logging

    record = logging.LogRecord("django.server", 20, "", 0, '"GET /exams/?q=Ada HTTP/1.1" 200', (), None)

    assert QuietFormatter("%(message)s").format(record) == '"GET /exams/?... HTTP/1.1" 200'
