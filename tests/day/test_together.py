"""Several invigilators at the same moment, on a real database: nothing is noted twice, no tube is given twice."""

import pytest

from examkit import audit
from examkit.day.selectors import place_of, room_map, spare_left
from examkit.day.services import note, rest_present, undo
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import DayNote, Exam, Sitting, State
from examkit.planning.services import exam_move
from tests import cast as cast_of
from tests.day.conftest import on_the_day
from tests.marking.test_together import at_once

pytestmark = [pytest.mark.database, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def room():
    """The cast and an exam on its day, committed, so that other connections see them."""
    cast = cast_of.make()
    exam = on_the_day(cast.centre, candidates=24, salts=("KBr", "CuSO4.5H2O"))
    return cast, exam


def act(service, sitting, **given):
    """The service with a sitting that this caller has read for itself, as a request does."""
    return lambda: service(sitting=Sitting.objects.select_related("exam__centre").get(pk=sitting.pk), **given)


def test_one_candidate_noted_by_four_at_once_is_noted_once(room):
    cast, exam = room
    sample = exam.samples.first()

    met = at_once(*[act(note, sample.sitting, sample=sample, kind="present", who=cast.invigilator)] * 4)

    assert [type(error) for error in met if error] == [ChangedMeanwhile] * 3
    assert DayNote.objects.count() == 1


def test_the_last_spare_tube_is_given_once_although_two_rooms_ask(room):
    cast, exam = room
    for sitting in exam.sittings.all():
        rest_present(sitting=sitting, who=cast.invigilator)
    wanted = [s for sitting in exam.sittings.all() for s in sitting.samples.filter(salt="KBr")[:3]]
    left = spare_left(wanted[0])

    met = at_once(*[act(note, s.sitting, sample=s, kind="second sample", words="spilt", who=cast.invigilator)
                    for s in wanted])

    assert left < len(wanted)
    assert [type(error) for error in met if error] == [Refused] * (len(wanted) - left)
    assert spare_left(wanted[0]) == 0


def test_a_whole_room_noted_at_once_is_noted_and_the_trail_holds(room):
    cast, exam = room
    sitting = exam.sittings.first()

    met = at_once(*[act(note, sitting, sample=sample, kind="present", who=cast.invigilator)
                    for sample in sitting.samples.all()[:8]])

    assert met == [None] * 8
    assert room_map(sitting).unknown == 12
    assert audit.verify(cast.centre) == []


def test_a_note_taken_back_twice_at_once_gives_the_time_back_once(room):
    cast, exam = room
    sitting = exam.sittings.first()
    row = note(sitting=sitting, kind="time given back", minutes=10, words="fire alarm", who=cast.invigilator)

    met = at_once(*[lambda: undo(note=DayNote.objects.get(pk=row.pk), who=cast.teacher, why="a false alarm")] * 2)

    assert [type(error) for error in met if error] == [ChangedMeanwhile]
    assert place_of(sitting.samples.first()).minutes == 0


def test_nothing_is_noted_any_more_once_the_exam_is_sat(room):
    cast, exam = room
    for sitting in exam.sittings.all():
        rest_present(sitting=sitting, who=cast.invigilator)
    stale = exam.sittings.select_related("exam__centre").first()
    exam_move(exam=Exam.objects.get(pk=exam.pk), to=State.SAT, who=cast.teacher)

    with pytest.raises(Refused, match="while the exam is prepared"):
        note(sitting=stale, kind="incident", words="too late", who=cast.invigilator)
