"""What the stock room amended for a bottle is accepted in marking, for the samples of that bottle and no others."""

import pytest

from examkit.models import Sample, State
from examkit.stockroom.trials.services import amend, trial_open, trial_see
from examkit.stockroom.tubes.services import tubes_fill_rest
from grading.marking.suggest import suggest
from grading.models import Record
from tests.marking.exams import enter_line, sample_of, sat_exam
from tests.stockroom.tried import bottle

pytestmark = pytest.mark.django_db
NICKEL = "NiCl2.6H2O"
BLUE = [{"step": "drops", "event": "precipitate", "colours": ["blue"]}]


@pytest.fixture
def exam(cast):
    """Two candidates with nickel chloride, one tube from a bottle in which sodium hydroxide shows blue."""
    exam = sat_exam(cast.centre, state=State.DRAWN)
    trial = trial_open(exam=exam, who=cast.assistant, salt=NICKEL, bottle=bottle(exam, cast.assistant, NICKEL))
    trial_see(trial=trial, who=cast.assistant, test="naoh", agrees=False, seen="blue precipitate", version=0)
    amend(trial=trial, who=cast.assistant, test="naoh", facet="tube", seen=BLUE, why="this lot holds cobalt")
    tubes_fill_rest(trial=trial, who=cast.assistant)
    exam.tubes.filter(sample=sample_of(exam, "0073")).delete()  # the other's tube came from somewhere else
    exam.state = State.SAT
    exam.save()
    return exam


def suggested(exam, number, examiner, words):
    sample = sample_of(exam, number)
    enter_line(sample, examiner, "naoh", words)
    parts = {part.key: part for part in suggest(Record.objects.get(sample=sample)).parts}
    return parts["naoh.observation"]


def test_what_one_bottle_shows_is_right_for_its_sample(exam, examiner):
    part = suggested(exam, "0071", examiner, "blue precipitate")

    assert part.steps == part.out_of > 0


def test_for_a_sample_of_another_bottle_it_is_not(exam, examiner):
    part = suggested(exam, "0073", examiner, "blue precipitate")

    assert part.steps < part.out_of


def test_what_the_salt_shows_otherwise_stays_right(exam, examiner):
    part = suggested(exam, "0071", examiner, "pale green precipitate, insoluble in excess")

    assert part.steps == part.out_of


def test_the_amended_record_goes_with_its_tube_only(exam):
    assert Sample.objects.filter(tube__trial__record__isnull=False).count() == 1
