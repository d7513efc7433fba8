"""Notes of the day: what is written, what is refused, what is taken back."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from examkit.audit import verify
from examkit.day.selectors import acts_at_once, place_of, room_map, sittings_of, spare_left
from examkit.day.services import note, rest_present, rest_present_undo, undo
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import AuditEntry, DayNote, State
from examkit.planning.selectors import still_missing
from examkit.planning.services import exam_move
from grading.models import BenchCode

pytestmark = pytest.mark.django_db


@pytest.fixture
def here(sitting, sample, helped, invigilator):
    """Both candidates are there."""
    for each in (sample, helped):
        note(sitting=sitting, sample=each, kind="present", who=invigilator)


def test_a_candidate_is_noted_as_present_by_name_of_who_noted_it(sitting, sample, invigilator, exam):
    note(sitting=sitting, sample=sample, kind="present", who=invigilator)

    assert place_of(sample).attendance == "present"
    entry = AuditEntry.objects.get(what="day: present")
    assert (entry.who, entry.about) == ("invigilator", f"{exam.name}, {sitting.name}, {sample.code}")
    assert sample.salt not in str(entry.detail)
    assert verify(exam.centre) == []


def test_everybody_has_the_clock_time_of_their_end(exam, sitting, sample, helped, invigilator, client):
    sitting.starts_at, sitting.minutes = timezone.now().replace(second=0, microsecond=0), 120
    sitting.save()
    for one, extra in ((sample, 25), (helped, 0)):
        one.candidate.extra_time_percent = extra
        one.candidate.save()
        note(sitting=sitting, sample=one, kind="present", who=invigilator)
    note(sitting=sitting, kind="time given back", minutes=8, words="the gas was off", who=invigilator)
    note(sitting=sitting, sample=helped, kind="time given back", minutes=5, words="a tap leaked", who=invigilator)

    def after(minutes):
        return sitting.starts_at + timedelta(minutes=minutes)

    assert (place_of(sample).ends_at, place_of(helped).ends_at) == (after(158), after(133))
    told = room_map(sitting)
    assert told.ends_at == after(128) and {place.ends_at for place in told.places} == {after(128), after(133), after(158)}
    client.force_login(invigilator)
    page = client.get(reverse("day:room", args=[exam.pk, sitting.pk])).content.decode()
    clock = [timezone.localtime(after(minutes)).strftime("%H:%M") for minutes in (128, 133, 158)]
    assert f"Ends at {clock[0]}" in page and f"until {clock[0]}" not in page
    assert all(f"until {at}" in page for at in clock[1:])
    one = client.get(reverse("day:candidate", args=[exam.pk, sitting.pk, sample.code])).content.decode()
    assert f"until {clock[2]}" in one


def test_a_sitting_without_a_beginning_has_no_end(sitting, sample):
    sitting.starts_at = None
    sitting.save()

    assert room_map(sitting).ends_at is None and place_of(sample).ends_at is None


def test_whoever_comes_late_is_present_after_all_and_both_notes_stay(sitting, sample, invigilator):
    note(sitting=sitting, sample=sample, kind="absent", who=invigilator)
    note(sitting=sitting, sample=sample, kind="present", who=invigilator)

    assert place_of(sample).attendance == "present"
    assert [each.kind for each in place_of(sample).notes] == ["absent", "present"]


def test_the_same_is_not_noted_twice(sitting, sample, invigilator, teacher):
    note(sitting=sitting, sample=sample, kind="present", who=teacher)

    with pytest.raises(ChangedMeanwhile, match="noted already"):
        note(sitting=sitting, sample=sample, kind="present", who=invigilator)


def test_the_others_are_noted_in_one_act(sitting, sample, invigilator):
    note(sitting=sitting, sample=sample, kind="absent", who=invigilator)

    assert rest_present(sitting=sitting, who=invigilator) == 5
    assert room_map(sitting).unknown == 0
    assert place_of(sample).attendance == "absent"
    with pytest.raises(Refused, match="noted already"):
        rest_present(sitting=sitting, who=invigilator)


def test_a_second_sample_needs_a_reason_a_present_candidate_and_a_spare_tube(sitting, sample, invigilator, here):
    with pytest.raises(Refused, match="in words"):
        note(sitting=sitting, sample=sample, kind="second sample", who=invigilator)
    left = spare_left(sample)
    note(sitting=sitting, sample=sample, kind="second sample", words="spilt", who=invigilator)

    assert left == 1 and spare_left(sample) == 0
    with pytest.raises(Refused, match="No spare tube is left"):
        note(sitting=sitting, sample=sample, kind="second sample", words="spilt again", who=invigilator)


def test_a_second_sample_taken_back_leaves_its_tube(sitting, sample, invigilator, here):
    row = note(sitting=sitting, sample=sample, kind="second sample", words="spilt", who=invigilator)
    undo(note=row, who=invigilator, why="the wrong bench")

    assert spare_left(sample) == 1


def test_a_colour_is_named_for_those_whose_list_says_so(sitting, helped, invigilator, here):
    row = note(sitting=sitting, sample=helped, kind="colour named", words="green", test="flame", who=invigilator)

    assert (row.test, row.words, row.by) == ("flame", "green", invigilator)
    assert place_of(helped).colours == 1
    assert AuditEntry.objects.get(what="day: colour named").detail["words"] == "green"


@pytest.mark.parametrize(("who_for", "test", "words", "said"), [
    ("sample", "flame", "green", "does not say that colours may be named"),
    ("helped", "", "green", "in which test"),
    ("helped", "no-such-test", "green", "in which test"),
    ("helped", "flame", "", "in words"),
])
def test_a_colour_is_refused_otherwise(sitting, sample, helped, invigilator, here, who_for, test, words, said):
    one = {"sample": sample, "helped": helped}[who_for]

    with pytest.raises(Refused, match=said):
        note(sitting=sitting, sample=one, kind="colour named", words=words, test=test, who=invigilator)


def test_time_given_back_to_all_counts_for_everybody(sitting, sample, helped, invigilator):
    note(sitting=sitting, kind="time given back", minutes=10, words="fire alarm", who=invigilator)
    note(sitting=sitting, sample=helped, kind="time given back", minutes=5, words="burner failed", who=invigilator)

    assert (place_of(sample).minutes, place_of(helped).minutes) == (10, 15)
    assert [place.minutes for place in room_map(sitting).places].count(10) == 5


@pytest.mark.parametrize("minutes", [None, 0, -3, 121])
def test_time_is_a_number_of_minutes(sitting, invigilator, minutes):
    with pytest.raises(Refused, match="whole number from 1 to 120"):
        note(sitting=sitting, kind="time given back", minutes=minutes, words="fire alarm", who=invigilator)


def test_the_bench_page_ends_later_by_the_time_given_back_and_as_before_when_it_is_taken_back(
        sitting, sample, invigilator):
    end = timezone.now() + timedelta(hours=1)
    code = BenchCode.objects.create(sample=sample, digest="x", issued_by=invigilator, until=end)
    row = note(sitting=sitting, kind="time given back", minutes=10, words="fire alarm", who=invigilator)
    code.refresh_from_db()
    assert code.until == end + timedelta(minutes=10)

    undo(note=row, who=invigilator, why="a false alarm")
    code.refresh_from_db()
    assert code.until == end


@pytest.mark.parametrize("kind", ["left", "second sample", "colour named"])
def test_who_is_not_there_gets_nothing(sitting, sample, invigilator, kind):
    with pytest.raises(Refused, match="not noted as present"):
        note(sitting=sitting, sample=sample, kind=kind, words="for a reason", test="flame", who=invigilator)


def test_an_incident_may_be_of_one_or_of_the_room_and_needs_words(sitting, sample, invigilator):
    note(sitting=sitting, kind="incident", words="the gas failed", who=invigilator)
    note(sitting=sitting, sample=sample, kind="incident", words="a cut finger", who=invigilator)

    assert [place.incidents for place in room_map(sitting).places].count(1) == 1
    with pytest.raises(Refused, match="in words"):
        note(sitting=sitting, kind="incident", words=" ", who=invigilator)


def test_a_note_is_taken_back_once_with_a_reason_and_stays_to_be_read(sitting, sample, invigilator, teacher):
    row = note(sitting=sitting, sample=sample, kind="absent", who=invigilator)
    with pytest.raises(Refused, match="reason in words"):
        undo(note=row, who=teacher, why="")
    undo(note=row, who=teacher, why="the wrong bench")

    assert place_of(sample).attendance == ""
    assert DayNote.objects.get().undone_by == teacher
    with pytest.raises(ChangedMeanwhile, match="taken back already"):
        undo(note=row, who=invigilator, why="the wrong bench")


def test_what_concerns_one_candidate_names_one(sitting, invigilator):
    with pytest.raises(Refused, match="for which candidate"):
        note(sitting=sitting, kind="present", who=invigilator)


@pytest.mark.parametrize("state", [State.DRAWN, State.SAT, State.RELEASED])
def test_nothing_is_noted_before_the_day_or_after_it(exam, sitting, sample, invigilator, state):
    row = note(sitting=sitting, sample=sample, kind="present", who=invigilator)
    exam.state = state
    exam.save()

    for act in (lambda: note(sitting=sitting, sample=sample, kind="left", who=invigilator),
                lambda: rest_present(sitting=sitting, who=invigilator),
                lambda: undo(note=row, who=invigilator, why="the wrong bench")):
        with pytest.raises(Refused, match="while the exam is prepared"):
            act()


def test_an_exam_is_not_sat_before_everybody_is_noted(exam, sitting, sample, teacher):
    assert "6 candidates of the sitting “Sitting 1” are neither present nor absent" in still_missing(exam)[0]
    note(sitting=sitting, sample=sample, kind="absent", who=teacher)
    rest_present(sitting=sitting, who=teacher)

    assert exam_move(exam=exam, to=State.SAT, who=teacher).state == State.SAT


def test_the_sittings_are_counted_in_two_queries(centre, invigilator, django_assert_num_queries):
    from tests.day.conftest import on_the_day

    exam = on_the_day(centre, candidates=40, name="Two sittings")
    rest_present(sitting=exam.sittings.first(), who=invigilator)

    with django_assert_num_queries(2):
        counts = [(row.present, row.absent, row.unknown) for row in sittings_of(exam)]
    assert counts == [(20, 0, 0), (0, 0, 20)]


def test_a_room_is_read_in_a_constant_number_of_queries(centre, invigilator, django_assert_max_num_queries):
    from tests.day.conftest import on_the_day

    exam = on_the_day(centre, candidates=40, name="Two sittings")
    for sitting in exam.sittings.all():
        rest_present(sitting=sitting, who=invigilator)
        with django_assert_max_num_queries(3):
            assert len(room_map(sitting).places) == 20


def test_all_others_are_taken_back_whole_with_a_reason_and_the_notes_stay(sitting, sample, invigilator, teacher):
    note(sitting=sitting, sample=sample, kind="present", who=invigilator)
    rest_present(sitting=sitting, who=invigilator)
    (act,) = acts_at_once(sitting)
    with pytest.raises(Refused, match="reason in words"):
        rest_present_undo(sitting=sitting, who=teacher, number=act.sequence, why=" ")

    assert rest_present_undo(sitting=sitting, who=teacher, number=act.sequence, why="the next room was meant") == 5
    assert (room_map(sitting).unknown, DayNote.objects.count()) == (5, 6)
    assert {row.undone_by for row in DayNote.objects.exclude(sample=sample)} == {teacher}
    assert not acts_at_once(sitting) and verify(sitting.exam.centre) == []
    with pytest.raises(ChangedMeanwhile, match="already"):
        rest_present_undo(sitting=sitting, who=teacher, number=act.sequence, why="the next room was meant")


def test_who_was_taken_back_alone_before_is_left_so(sitting, sample, invigilator):
    rest_present(sitting=sitting, who=invigilator)
    undo(note=DayNote.objects.get(sample=sample), who=invigilator, why="not here at all")
    act = acts_at_once(sitting)[0]

    assert rest_present_undo(sitting=sitting, who=invigilator, number=act.sequence, why="the wrong room") == 5
    assert DayNote.objects.get(sample=sample).undone_why == "not here at all"


def test_the_room_takes_them_back_whole(exam, sitting, invigilator, as_user):
    rest_present(sitting=sitting, who=invigilator)
    act, page = acts_at_once(sitting)[0], as_user(invigilator)
    back = reverse("day:rest-present-undo", args=[exam.pk, sitting.pk, act.sequence])
    assert back in page.get(reverse("day:room", args=[exam.pk, sitting.pk])).content.decode()

    assert back not in page.post(back, {"reason": "the wrong room"}, follow=True).content.decode()
    assert room_map(sitting).unknown == 6
