"""Reading all records of an exam by another mark scheme, through the standard tasks interface: by a worker
where one runs, else some records at each look of the page that waits."""

from django.utils.translation import gettext as _
from django_tasks import TaskResultStatus, task
from django_tasks.exceptions import TaskResultDoesNotExist, TaskResultMismatch

from examkit.models import Exam
from grading.errors import NotPossible
from grading.schemes import foresight


@task()
def foresee(exam, key, most=None):
    """Make what the mark scheme of this key would suggest for an exam (by its own key), `most` records of
    it."""
    foresight.foresee(Exam.objects.select_related("centre").get(pk=exam), key, most)


def some(exam, key):
    """Make some of it now, where no worker runs; NotPossible where that fails."""
    _unbroken(foresee.enqueue(exam.pk, key, foresight.AT_ONCE))


def start(exam, key):
    """Have a worker make all of it: the name of its task."""
    return str(foresee.enqueue(exam.pk, key).id)


def by_worker():
    """Whether long work is done by a worker: what works at once keeps no results."""
    return foresee.get_backend().supports_get_result


def is_done(exam, key, task_id):
    """Whether a worker is done with the task of this name; None where there is no such task for this exam and
    mark scheme, NotPossible where it broke off."""
    try:
        result = foresee.get_result(task_id)
    except (TaskResultDoesNotExist, TaskResultMismatch):
        return None
    if list(result.args[:2]) != [exam.pk, key]:
        return None
    _unbroken(result)
    return result.is_finished


def _unbroken(result):
    if result.status == TaskResultStatus.FAILED:
        raise NotPossible(_("The records could not all be read by this mark scheme. Nothing was changed. Try "
                            "again; if it happens again, ask for help: the server's log says why."))
