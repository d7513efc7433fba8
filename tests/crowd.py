"""Exams of any size, made in bulk: candidates on benches with tubes, notes of the day, codes and records."""

from datetime import UTC, datetime

from django.utils import timezone

from examkit.knowledge import knowledge
from examkit.models import Bench, Candidate, DayNote, Exam, Room, Sample, Sitting, Trial, Tube
from examkit.planning.selectors.draw import plan_of
from grading.models import BenchCode, Record, RecordLine
from tests.marking.exams import freeze

SALTS = ("NiCl2.6H2O", "ZnSO4.7H2O", "KBr", "NH4Cl")
ROOM = 250  # benches


def crowd(centre, who, size, *, state, name):
    """An exam of `size` candidates: half are noted as present, each has a code, a tube, a record of a line."""
    exam = Exam.objects.create(centre=centre, name=name, held_on=datetime(2027, 3, 9, tzinfo=UTC), scheme="semimicro",
                               mark_scheme="common", state=state, edition=knowledge().edition,
                               draw={"shared_cations": [], "uneven": 0, "uneven_in_sitting": 0, "proven": True})
    for salt in SALTS:
        freeze(exam, salt)
        exam.pool.create(formula=salt)
    samples = Sample.objects.bulk_create(_samples(exam, size))
    exam.draw |= {"plan": plan_of(exam).as_json()}
    exam.save()
    trials = {salt: Trial.objects.create(exam=exam, salt=salt, named="lot 1") for salt in SALTS}
    Tube.objects.bulk_create(Tube(exam=exam, salt=one.salt, label=one.code, sample=one, trial=trials[one.salt], by=who)
                             for one in samples)
    DayNote.objects.bulk_create(DayNote(sitting=one.sitting, sample=one, kind="present", by=who)
                                for one in samples[::2])
    BenchCode.objects.bulk_create(BenchCode(sample=one, digest=f"{exam.pk}-{one.code}", issued_by=who,
                                            until=timezone.now()) for one in samples)
    records = Record.objects.bulk_create(Record(sample=one, entered_by=who, cation="Ni2+") for one in samples[::3])
    RecordLine.objects.bulk_create(RecordLine(record=one, test="naoh", observation="white ppt") for one in records)
    return exam


def _samples(exam, size):
    room = Room.objects.create(centre=exam.centre, name=f"Hall of {exam.name}", rows=10, columns=ROOM // 10)
    benches = Bench.objects.bulk_create(
        Bench(room=room, row=n // 25, column=n % 25, label=f"{'ABCDEFGHIJ'[n // 25]}{n % 25 + 1}") for n in range(ROOM))
    sittings = [Sitting.objects.create(exam=exam, room=room, name=f"Sitting {n}",
                                       starts_at=datetime(2027, 3, 9, 6 + n % 12, n // 12, tzinfo=UTC))
                for n in range(12)]
    people = Candidate.objects.bulk_create(
        Candidate(exam=exam, number=f"{n:05}", name=f"Person {n}", group=f"class {n % 7}") for n in range(size))
    return [Sample(exam=exam, candidate=one, sitting=sittings[n % 12], bench=benches[n // 12], code=f"Q{n:05}",
                   salt=SALTS[n % 4]) for n, one in enumerate(people)]
