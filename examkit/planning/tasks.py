"""Long work of planning, through the standard tasks interface: at once by default, by a worker where one
runs."""

from dataclasses import astuple

from django_tasks import task

from examkit.errors import ExamkitError
from examkit.models import Exam, ListWaiting, User
from examkit.planning import progress
from examkit.planning.roster import Entry
from examkit.planning.services.roster import roster_import


def start_import(*, exam, who, entries):
    """Have a class list imported. What a task is given is kept for good, so it is given the list by key."""
    waiting = ListWaiting.objects.create(exam=exam, rows=[astuple(entry) for entry in entries])
    return import_class_list.enqueue(exam.pk, who.pk, waiting.pk, len(entries))


@task(takes_context=True)
def import_class_list(context, exam, who, waiting, rows):
    """Import a class list of so many rows (exam, person and list by key); what came of it as counts or
    refusals."""
    task, written = context.task_result.id, []

    def tell(some):
        written.append(some)
        progress.tell(task, sum(written))

    kept = ListWaiting.objects.filter(pk=waiting)
    try:
        done = roster_import(exam=Exam.objects.get(pk=exam), who=User.objects.get(pk=who),
                             entries=[Entry(*row) for row in kept.get().rows], tell=tell)
    except ExamkitError as problem:
        return {"refused": str(problem)}
    finally:
        progress.forget(task)
        kept.delete()
    return {"added": len(done.added), "changed": len(done.changed), "same": done.same}
