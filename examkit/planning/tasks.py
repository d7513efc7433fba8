"""Long work of planning, through the standard tasks interface: at once by default, by a worker where one
runs."""

from django_tasks import task

from examkit.errors import ExamkitError
from examkit.models import Exam, User
from examkit.planning import progress
from examkit.planning.roster import Entry
from examkit.planning.services.roster import roster_import


@task(takes_context=True)
def import_class_list(context, exam, who, entries):
    """Import a class list (exam and person by key, entries as lists); what came of it as counts or
    refusals."""
    task, written = context.task_result.id, []

    def tell(some):
        written.append(some)
        progress.tell(task, sum(written))

    try:
        done = roster_import(exam=Exam.objects.get(pk=exam), who=User.objects.get(pk=who),
                             entries=[Entry(*entry) for entry in entries], tell=tell)
    except ExamkitError as problem:
        return {"refused": str(problem)}
    finally:
        progress.forget(task)
    return {"added": len(done.added), "changed": len(done.changed), "same": done.same}
