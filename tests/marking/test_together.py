"""Two people at one record at the same moment, on a real database: one is saved, the other is told."""

import threading

import pytest
from django.db import connection

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.models import Centre
from grading.marking import services
from grading.models import Award, Record, RecordLine
from tests import cast as cast_of
from tests.marking import exams
from tests.marking.test_awards import accept_all, give, part_of

pytestmark = [pytest.mark.database, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def school():
    """The cast and an exam, committed, so that other connections see them."""
    cast = cast_of.make()
    return cast, exams.sample_of(exams.sat_exam(cast.centre), "0071")


def at_once(*acts):
    """Run acts in threads that start together; the errors they met, in order."""
    start, met = threading.Barrier(len(acts)), [None] * len(acts)

    def run(index, act):
        start.wait()
        try:
            act()
        except Exception as error:  # noqa: BLE001 the test looks at what it was
            met[index] = error
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return met


def save(sample, who, words, test="naoh", version=0):
    return lambda: services.line_save(
        sample=sample, test=test, observation=words, inference="", version=version, who=who
    )


def test_two_saves_of_one_line_keep_one_and_tell_the_other(school):
    cast, sample = school

    met = at_once(save(sample, cast.examiner, "one"), save(sample, cast.moderator, "other"))

    assert sorted(type(error) for error in met if error) == [ChangedMeanwhile]
    assert RecordLine.objects.get().version == 1
    assert audit.verify(Centre.objects.get(pk=sample.exam.centre_id)) == []


def test_saves_of_different_lines_are_all_kept_and_all_read(school):
    cast, sample = school
    tests = ("naoh", "flame", "group-1", "group-3b", "ammonia", "appearance")

    met = at_once(*(save(sample, cast.examiner, "no change", test) for test in tests))

    assert met == [None] * len(tests)
    assert RecordLine.objects.count() == len(tests)
    read = {part.test for part in exams.parts(sample) if part.written == "no change"}
    assert read == set(tests)
    assert Record.objects.get().paper["parts"]


def test_two_marks_for_one_part_keep_one_and_tell_the_other(school):
    cast, sample = school
    exams.enter(sample, cast.examiner)
    stamp = part_of(sample).stamp

    met = at_once(
        lambda: give(sample, cast.examiner, 2, stamp=stamp),
        lambda: give(sample, cast.moderator, 0, reason="smudged", stamp=stamp),
    )

    assert [type(error) for error in met if error] == [ChangedMeanwhile]
    assert Award.objects.get().version == 1


def test_accepting_all_twice_at_once_awards_once(school):
    cast, sample = school
    exams.enter(sample, cast.examiner)

    met = at_once(lambda: accept_all(sample, cast.examiner), lambda: accept_all(sample, cast.moderator))

    assert met == [None, None]
    assert Award.objects.count() == len(exams.parts(sample))
    assert audit.verify(Centre.objects.get(pk=sample.exam.centre_id)) == []
