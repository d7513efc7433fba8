"""What a person's first page shows: their centre's exams, each with the next step for their role."""

from examkit.models import Exam


def next_steps(centre, roles):
    """The exams of the centre, newest first, each with what this person has to do next."""
    if centre is None:
        return []
    return [{"exam": exam} for exam in Exam.objects.filter(centre=centre)]
