"""No acknowledged save is lost: the process is killed, or several people save at once."""

import os
import signal
import subprocess
import sys
import threading

import pytest
from django.conf import settings
from django.db import connection

from examkit import audit
from examkit.models import AuditEntry, Centre

WRITER = """
import django; django.setup()
from examkit import audit
from examkit.models import Centre
centre, _ = Centre.objects.get_or_create(name="Maple House School", slug="maple-house")
while True:
    print(audit.record(centre=centre, who="writer", what="saved", about="line").sequence, flush=True)
"""
READER = """
import django; django.setup()
from examkit import audit
from examkit.models import Centre
centre = Centre.objects.get()
print(audit.head(centre).sequence, audit.verify(centre))
"""


@pytest.fixture
def python(tmp_path):
    """Run a script on a real SQLite file of its own, with the production settings."""
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    kept |= {"DJANGO_SETTINGS_MODULE": "examkit.settings", "EXAMKIT_VAR": str(tmp_path),
             "EXAMKIT_NO_BOOTSTRAP": "1"}
    subprocess.run([sys.executable, "manage.py", "migrate", "-v0"], cwd=settings.BASE_DIR, env=kept, check=True)

    def start(script):
        return subprocess.Popen([sys.executable, "-c", script], cwd=settings.BASE_DIR, env=kept, text=True,
                                stdout=subprocess.PIPE)
    return start


def test_a_killed_process_loses_nothing_that_it_acknowledged(python):
    acknowledged = 0
    for saves in (5, 17, 40):
        writer = python(WRITER)
        for _save in range(saves):
            acknowledged = int(writer.stdout.readline())
        os.kill(writer.pid, signal.SIGKILL)
        acknowledged = int((writer.communicate()[0].split() or [acknowledged])[-1])  # said before it died

        found, problems = python(READER).communicate()[0].split(maxsplit=1)
        assert int(found) >= acknowledged and problems.strip() == "[]"


@pytest.mark.database
@pytest.mark.django_db(transaction=True)
def test_saves_at_the_same_moment_make_one_unbroken_chain():
    centre = Centre.objects.create(name="Maple House School", slug="maple-house")

    def save():
        for _save in range(10):
            audit.record(centre=centre, who=threading.current_thread().name, what="saved", about="line")
        connection.close()
    threads = [threading.Thread(target=save) for _thread in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert AuditEntry.objects.count() == 40 and audit.verify(centre) == []
