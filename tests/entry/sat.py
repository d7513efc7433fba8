"""An exam on its day: drawn, stock room signed off, four candidates at the benches."""

from datetime import timedelta

from django.utils import timezone

from examkit.models import State
from grading.entry.bench.services import code_redeem, codes_issue
from tests.marking import exams

ALL = ("0071", "0072", "0073", "0074")


def exam_on_the_day(centre, **more):
    """The exam of the marking tests while its sitting is on."""
    exam = exams.sat_exam(centre, state=State.PREPARED, **more)
    exam.sittings.update(starts_at=timezone.now() - timedelta(minutes=30))
    return exam


def in_hours(number=2):
    """A time that is still to come."""
    return timezone.now() + timedelta(hours=number)


def slips_of(exam, who, until=None):
    """Codes for everybody: {sample code: one-time code as printed}."""
    slips = codes_issue(sitting=exam.sittings.get(), until=until or in_hours(), who=who)
    return {slip.sample: slip.code for slip in slips}


def let_in(exam, who, number="0071"):
    """The code's row of a candidate who has come in."""
    sample = exams.sample_of(exam, number)
    code = slips_of(exam, who)[sample.code]
    return code_redeem(sample_code=sample.code, one_time=code.replace(" ", ""))


def at_the_bench(client, exam, who, number="0071"):
    """A client that has come in by the door, and its sample."""
    sample = exams.sample_of(exam, number)
    answer = client.post("/bench/sign-in/", {"sample": sample.code, "password": slips_of(exam, who)[sample.code]})
    assert (answer.status_code, answer["Location"]) == (302, "/bench/")
    return sample
