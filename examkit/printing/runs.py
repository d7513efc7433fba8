"""Print runs: a sheet is set once, by a task, and kept under VAR_DIR as long as its content is the same.

The file's name holds the digest of the document: a sheet of an old draw is never served for a new one.
"""

import hashlib
import os
import tempfile
import time
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.utils import translation
from django.utils.translation import gettext as _
from django_tasks import TaskResultStatus, task

from examkit import audit
from examkit.errors import Refused
from examkit.models import Exam
from examkit.printing.render import look
from examkit.printing.sheets import SHEETS

MANY_LABELS = 200  # so many take some seconds to set
PATIENCE_s = 300  # after so long a run that was asked for is asked for again


def ready(exam, sheet, geometry=""):
    """The file of a sheet as the exam stands now, or None where it is not set yet."""
    path = _path(exam, sheet, sheet.filled(exam, geometry))
    return path if path.exists() else None


def takes_long(exam, sheet, geometry=""):
    """Whether a sheet takes so long to set that somebody who waits must be told."""
    return len(getattr(sheet.filled(exam, geometry), "labels", ())) > MANY_LABELS


def order(exam, sheet, geometry=""):
    """Have a sheet set: at once, or by a worker where one runs. Asking twice does not set it twice."""
    asked = _path(exam, sheet, sheet.filled(exam, geometry)).with_suffix(".asked")
    if asked.exists() and time.time() - asked.stat().st_mtime < PATIENCE_s:
        return
    asked.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    asked.touch(mode=0o600)
    language = translation.get_language() or settings.LANGUAGE_CODE
    result = set_sheet.enqueue(exam.pk, sheet.key, language, geometry)
    if result.status == TaskResultStatus.FAILED:  # known at once only where it ran at once
        asked.unlink(missing_ok=True)
        raise Refused(_("This sheet could not be set. The server's log says why; nothing else was changed."))


@task()
def set_sheet(exam_pk, key, language, geometry=""):
    """Set one kind of sheet of an exam and keep the file."""
    exam, sheet = Exam.objects.select_related("centre").get(pk=exam_pk), SHEETS[key]
    with translation.override(language):
        document = sheet.filled(exam, geometry)
        path = _path(exam, sheet, document)
        _keep(path, sheet.set(document).pdf)
    path.with_suffix(".asked").unlink(missing_ok=True)  # stays where setting failed: not asked again at once
    for old in set(path.parent.glob(f"{key}.{language}.*.pdf")) - {path}:
        old.unlink(missing_ok=True)


@transaction.atomic
def opened(*, exam, sheet, who):
    """Note who had a sheet and when: a key that leaks has a trail."""
    audit.record(centre=exam.centre, who=who, what="sheet printed", about=f"{exam}: {sheet.key}",
                 detail={"exam": exam.pk, "sheet": sheet.key})


def _path(exam, sheet, document):
    language = translation.get_language() or settings.LANGUAGE_CODE
    content = "\0".join([repr(document), language, look()])
    digest = hashlib.sha256(content.encode(errors="backslashreplace")).hexdigest()[:32]
    return Path(settings.VAR_DIR) / "prints" / str(exam.pk) / f"{sheet.key}.{language}.{digest}.pdf"


def _keep(path, pdf):
    """Write the file whole or not at all, for the server's own eyes only."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as kept:  # made with mode 600
        kept.write(pdf)
    os.replace(kept.name, path)
