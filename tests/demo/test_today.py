"""The demo's exam on its day: prepared, begun, with something to see on every page of the day."""

import pytest

from examkit.audit import verify
from examkit.day.selectors import room_map
from examkit.demo import today
from examkit.demo.exams import SHELF, prepare
from examkit.demo.school import school
from examkit.models import Happening, Room, ShelfItem, State, User
from examkit.planning import services
from examkit.stockroom.services import shelf_add

pytestmark = pytest.mark.django_db


@pytest.fixture
def exam():
    """The exam as the demo makes it, alone."""
    centre = school()
    people = {one.username: one for one in User.objects.all()}
    for substance, amount, strength in SHELF:
        shelf_add(centre=centre, who=people["ossian"], substance=substance, amount=amount, strength_mol_L=strength)
    room = services.room_create(centre=centre, who=people["nell"], name="Laboratory 2", rows=5, columns=4)
    made = prepare(today.today_exam(centre, people["nell"], room), people["ossian"])
    today.begin(made)
    return made


def test_the_sitting_has_begun_and_each_kind_of_note_can_be_seen(exam):
    shown = room_map(exam.sittings.get())

    assert exam.state == State.PREPARED
    assert {note.kind for note in shown.notes} == set(Happening.values) - {Happening.LEFT}
    assert (len(shown.places), shown.unknown, shown.minutes) == (12, 4, 5)
    assert verify(exam.centre) == []


def test_what_is_left_to_do_can_be_done(exam):
    assert ShelfItem.objects.filter(centre=exam.centre).count() == len(SHELF)
    assert Room.objects.get().sittings.get().starts_at.date() == exam.held_on
    assert [place.attendance for place in room_map(exam.sittings.get()).places].count(Happening.ABSENT) == 1
