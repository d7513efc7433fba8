"""The demo's records of the exam that was sat, entered and in part marked through the examiner's services."""

from examkit.demo.exams import SAT
from examkit.models import Exam, User
from grading.demo.candidates import write
from grading.marking.awarding import award_set, awards_accept_sure
from grading.marking.parts import stored
from grading.marking.services import line_save, record_finish, result_save
from grading.models import Record

MARKED = 26  # of 40: the rest waits for the examiner
ENTERED = 36


def records(centre):
    """Enter and mark the records, where there are none yet."""
    exam = Exam.objects.get(centre=centre, name=SAT)
    if Record.objects.filter(sample__exam=exam).exists():
        return
    examiner = User.objects.get(username="wren")
    expected = {kept.salt: kept.record for kept in exam.expected.all()}
    salts = sorted(expected)
    for count, sample in enumerate(exam.samples.select_related("candidate", "exam__centre").order_by("code")):
        other = expected[salts[(salts.index(sample.salt) + 1) % len(salts)]]
        if count < ENTERED:
            enter(sample, write(sample.candidate.number, expected[sample.salt], other), examiner)
        if count < MARKED:
            mark(sample, examiner)


def enter(sample, written, who):
    """One record, line by line, as an examiner would type it."""
    for test, observation, inference in written.lines:
        line_save(
            sample=sample, test=test, observation=observation, inference=inference, version=0, who=who
        )
    result_save(sample=sample, cation=written.cation, anion=written.anion, version=0, who=who)


def mark(sample, who):
    """All sure suggestions as one act; the others one by one, as suggested; then the record is closed."""
    suggested = stored(Record.objects.get(sample=sample).paper)
    awards_accept_sure(sample=sample, digest=suggested.digest, who=who)
    for part in suggested.unsure:
        award_set(
            sample=sample, part=part.key, steps=part.steps, reason="", version=0, stamp=part.stamp, who=who
        )
    record_finish(sample=sample, who=who)
