"""How far a long import is, told to a page that waits: a small file beside the data, since the import's own
transaction shows nothing before it ends. Machines share that folder (README), as print runs do."""

from django.conf import settings

FOLDER = "progress"


def tell(task, done):
    """Keep how many rows of a task are written."""
    path = _path(task)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(str(done), encoding="ascii")


def told(task):
    """How many rows of a task are written; 0 where nothing is known."""
    try:
        return int(_path(task).read_text(encoding="ascii") or 0)
    except (FileNotFoundError, ValueError):
        return 0


def forget(task):
    """The task is done."""
    _path(task).unlink(missing_ok=True)


def _path(task):
    return settings.VAR_DIR / FOLDER / f"{task}.txt"
