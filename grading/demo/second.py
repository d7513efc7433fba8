"""The demo's second marking: a few records marked again, some of them with differences to settle."""

from examkit.demo.exams import SAT
from examkit.models import Exam, Part, User
from examkit.planning.services import duty_add
from grading.marking.parts import stored
from grading.models import SecondDraw
from grading.second.selectors import rows
from grading.second.services import sample_draw, second_finish, second_set

SAMPLE, MARKED = 5, 4  # records drawn; the last one waits for its second marker
STRICTER = (
    (0,),
    (0, 1),
    (),
    (0,),
)  # which of the full marks of each record the second marker lowers by a step
WHY = "as I read it, only half of what was to be seen is said"


def second(centre):
    """Draw a sample of the exam that was sat and mark most of it again, where that has not been done."""
    exam = Exam.objects.select_related("centre").get(centre=centre, name=SAT)
    if SecondDraw.objects.filter(exam=exam).exists():
        return
    people = {name: User.objects.get(username=name) for name in ("nell", "wren", "tamsin", "idris")}
    for name, part in (("wren", Part.EXAMINES), ("tamsin", Part.SECOND), ("idris", Part.MODERATES)):
        duty_add(exam=exam, who=people["nell"], user=people[name], part=part)
    sample_draw(exam=exam, size=SAMPLE, reason="", who=people["idris"], seed="0123456789abcdef")
    for row, stricter in zip(rows(exam)[:MARKED], STRICTER, strict=True):
        mark_again(row.marking.record, stricter, people["tamsin"])


def mark_again(record, stricter, who):
    """Every part as suggested, but for some full marks for several things seen: there a step less."""
    parts, sample = stored(record.paper).parts, record.sample
    full = [
        part.key
        for part in parts
        if part.kind == "observation" and part.steps == part.out_of > 1 and ";" in part.written
    ]
    lower = {full[number] for number in stricter if number < len(full)}
    for part in parts:
        less = part.key in lower
        second_set(
            sample=sample,
            part=part.key,
            steps=part.steps - less,
            reason=WHY if less else "",
            version=0,
            stamp=part.stamp,
            who=who,
        )
    second_finish(sample=sample, who=who)
