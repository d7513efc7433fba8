"""Several people at the bench at the same moment, on a real database: nothing is lost, nobody comes in twice."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.models import Centre
from grading.entry.bench.codes import NoSuchCode
from grading.entry.bench.services import code_redeem, sitting_close
from grading.entry.bench.writing import Closed, bench_hand_in, bench_line_save
from grading.models import BenchCode, Record, RecordLine
from tests import cast as cast_of
from tests.entry import sat
from tests.marking.exams import sample_of
from tests.marking.test_together import at_once

pytestmark = [pytest.mark.database, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def school():
    """The cast, the exam and the slips, committed, so that other connections see them."""
    cast = cast_of.make()
    exam = sat.exam_on_the_day(cast.centre)
    return cast, exam, sat.slips_of(exam, cast.teacher)


def let_in(exam, slips, number="0071"):
    sample = sample_of(exam, number)
    return code_redeem(sample_code=sample.code, one_time=slips[sample.code].replace(" ", ""))


def write(code, words, test="naoh", version=0):
    return lambda: bench_line_save(code=code, test=test, observation=words, inference="", version=version)


def test_a_code_tried_twice_at_once_lets_one_in(school):
    _cast, exam, slips = school

    met = at_once(*[lambda: let_in(exam, slips)] * 2)

    assert [type(error) for error in met if error] == [NoSuchCode]
    assert BenchCode.objects.filter(used_at__isnull=False).count() == 1


def test_a_whole_room_writes_at_once_and_everything_is_kept(school):
    _cast, exam, slips = school
    codes = [let_in(exam, slips, number) for number in sat.ALL]

    met = at_once(*(write(code, f"by {code.sample.code}", test) for code in codes for test in ("naoh", "flame")))

    assert met == [None] * 8
    assert {line.observation for line in RecordLine.objects.all()} == {f"by {code.sample.code}" for code in codes}
    assert audit.verify(Centre.objects.get(pk=exam.centre_id)) == []


def test_two_windows_saving_one_line_at_once_keep_one_and_tell_the_other(school):
    _cast, exam, slips = school
    code = let_in(exam, slips)

    met = at_once(write(code, "one"), write(code, "other"))

    assert [type(error) for error in met if error] == [ChangedMeanwhile]
    assert RecordLine.objects.get().version == 1


def test_a_line_saved_while_the_page_is_closed_is_either_kept_and_suggested_for_or_refused(school):
    cast, exam, slips = school
    code = let_in(exam, slips)
    bench_line_save(code=code, test="flame", observation="none", inference="", version=0)

    met = at_once(write(code, "in the last moment"), lambda: sitting_close(sitting=exam.sittings.get(), who=cast.teacher))

    kept = RecordLine.objects.filter(test="naoh").exclude(observation="").exists()
    assert [type(error) for error in met if error] == ([] if kept else [Closed])


def test_handing_in_twice_at_once_is_once(school):
    _cast, exam, slips = school
    code = let_in(exam, slips)

    met = at_once(*[lambda: bench_hand_in(code=code)] * 2)

    assert [type(error) for error in met if error] == [Closed]
    assert Record.objects.get().paper["parts"]
