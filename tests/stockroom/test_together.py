"""Several people in the stock room at the same moment, on a real database."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import Exam, State, Trial, TrialLine
from examkit.planning.services import exam_move
from examkit.stockroom.signing import sign_off
from examkit.stockroom.trials.services import amend, trial_open, trial_see
from examkit.stockroom.tubes.services import tube_fill, tubes_fill_rest
from tests import cast as cast_of
from tests.marking.test_together import at_once
from tests.stockroom.drawn import drawn_exam
from tests.stockroom.test_services import tick_all
from tests.stockroom.tried import bottle

pytestmark = [pytest.mark.database, pytest.mark.django_db(transaction=True)]
NICKEL = "NiCl2.6H2O"


@pytest.fixture
def room():
    """The cast, a drawn exam, and a bottle of nickel chloride whose trial has begun; committed."""
    cast = cast_of.make()
    exam = drawn_exam(cast.centre)
    jar = bottle(exam, cast.assistant, NICKEL)
    return cast, exam, trial_open(exam=exam, who=cast.assistant, salt=NICKEL, bottle=jar)


def again(trial):
    """The trial as another request reads it."""
    return Trial.objects.select_related("exam__centre", "bottle").get(pk=trial.pk)


def test_a_bottle_taken_up_by_three_at_once_has_one_trial(room):
    cast, exam, trial = room

    met = at_once(*[lambda: trial_open(exam=Exam.objects.get(pk=exam.pk), who=cast.assistant, salt=NICKEL,
                                       bottle=trial.bottle)] * 3)

    assert met == [None] * 3
    assert Trial.objects.count() == 1


def test_one_test_noted_by_three_at_once_keeps_one_and_tells_the_others(room):
    cast, _exam, trial = room

    met = at_once(*[lambda: trial_see(trial=again(trial), who=cast.assistant, test="naoh", agrees=True,
                                      version=0)] * 3)

    assert [type(error) for error in met if error] == [ChangedMeanwhile] * 2
    assert TrialLine.objects.get().version == 1


def test_one_tube_filled_by_two_at_once_keeps_one_mass(room):
    cast, exam, trial = room
    code = exam.samples.get(salt=NICKEL).code

    met = at_once(*[lambda: tube_fill(trial=again(trial), who=cast.assistant, label=code, mass_g="1.50",
                                      version=0)] * 2)

    assert [type(error) for error in met if error] == [ChangedMeanwhile]
    assert exam.tubes.get().version == 1


def test_what_was_open_on_a_page_before_the_sign_off_is_refused_after_it(room):
    cast, exam, trial = room
    stale = again(trial)
    tick_all(exam, cast.assistant)
    sign_off(exam=exam, who=cast.assistant)

    blue = [{"step": "drops", "event": "precipitate", "colours": ["blue"]}]
    for act in (lambda: trial_see(trial=stale, who=cast.assistant, test="naoh", agrees=None, version=1),
                lambda: amend(trial=stale, who=cast.assistant, test="naoh", facet="tube", seen=blue, why="too late"),
                lambda: tubes_fill_rest(trial=stale, who=cast.assistant)):
        with pytest.raises(Refused, match="signed off"):
            act()
    assert audit.verify(cast.centre) == []


def test_two_sign_offs_at_once_are_one(room):
    cast, exam, _trial = room
    tick_all(exam, cast.assistant)

    met = at_once(*[lambda: sign_off(exam=Exam.objects.get(pk=exam.pk), who=cast.assistant)] * 2)

    assert [type(error) for error in met if error] == [Refused]
    exam.refresh_from_db()
    assert exam.state == State.PREPARED
    with pytest.raises(Refused):
        exam_move(exam=exam, to=State.PREPARED, who=cast.teacher)
