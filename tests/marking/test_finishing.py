"""A record's end, its opening again, and the exam's handing over."""

import pytest

from examkit.models import AuditEntry, Exam, State
from grading.errors import NotPossible, ReasonNeeded
from grading.marking import services
from grading.models import Award, Record
from tests.marking.test_awards import accept_all

pytestmark = pytest.mark.database


def close_all(exam, who, but=()):
    for sample in exam.samples.exclude(code__in=but):
        services.record_absent(sample=sample, reason="not handed in", who=who)


def finished(sample, who):
    accept_all(sample, who)
    services.record_finish(sample=sample, who=who)


def test_a_record_with_every_mark_is_finished(entered, examiner):
    finished(entered, examiner)

    assert Record.objects.get(sample=entered).finished
    assert AuditEntry.objects.last().detail["steps"] == sum(Award.objects.values_list("steps", flat=True))


def test_a_record_without_all_its_marks_is_not_finished(entered, examiner):
    with pytest.raises(NotPossible, match="marks are missing"):
        services.record_finish(sample=entered, who=examiner)


def test_a_record_of_which_nothing_was_entered_is_not_finished(sample, examiner):
    with pytest.raises(NotPossible, match="Nothing has been entered"):
        services.record_finish(sample=sample, who=examiner)

    assert not Record.objects.filter(sample=sample, finished=True).exists()


def test_a_mark_for_words_that_were_changed_since_does_not_count(entered, examiner):
    accept_all(entered, examiner)
    services.line_save(
        sample=entered, test="group-3b", observation="white ppt", inference="", version=1, who=examiner
    )

    with pytest.raises(NotPossible, match="older than what is written now"):
        services.record_finish(sample=entered, who=examiner)


def test_a_finished_record_opens_again_with_a_reason(entered, examiner):
    finished(entered, examiner)

    services.record_reopen(sample=entered, reason="a page was found", who=examiner)

    assert not Record.objects.get(sample=entered).finished
    assert AuditEntry.objects.last().detail == {"reason": "a page was found"}
    assert Award.objects.exists()


def test_opening_again_without_a_reason_is_refused(entered, examiner):
    finished(entered, examiner)

    with pytest.raises(ReasonNeeded):
        services.record_reopen(sample=entered, reason=" ", who=examiner)
    assert Record.objects.get(sample=entered).finished


def test_an_open_record_is_not_opened_again(entered, examiner):
    with pytest.raises(NotPossible, match="open already"):
        services.record_reopen(sample=entered, reason="why not", who=examiner)


def test_the_exam_is_handed_over_when_every_record_is_closed(exam, entered, examiner):
    finished(entered, examiner)
    close_all(exam, examiner, but=[entered.code])

    services.exam_hand_over(exam=exam, who=examiner)

    assert Exam.objects.get().state == State.MARKED


def test_the_exam_is_not_handed_over_before(exam, entered, examiner):
    with pytest.raises(NotPossible, match="4 records are not finished"):
        services.exam_hand_over(exam=exam, who=examiner)


def test_opening_a_record_takes_a_marked_exam_back_with_it(exam, entered, examiner):
    finished(entered, examiner)
    close_all(exam, examiner, but=[entered.code])
    services.exam_hand_over(exam=exam, who=examiner)
    entered.exam.refresh_from_db()

    services.record_reopen(sample=entered, reason="a page was found", who=examiner)

    assert Exam.objects.get().state == State.SAT
    assert AuditEntry.objects.last().what == "exam moved"


def test_no_record_is_opened_after_the_release(exam, entered, examiner):
    finished(entered, examiner)
    Exam.objects.update(state=State.RELEASED)
    entered.exam.refresh_from_db()

    with pytest.raises(NotPossible, match="withdraw the release"):
        services.record_reopen(sample=entered, reason="a page was found", who=examiner)


def test_a_doubled_submit_finishes_closes_and_hands_over_once(exam, entered, examiner):
    finished(entered, examiner)
    services.record_finish(sample=entered, who=examiner)
    for _again in range(2):
        close_all(exam, examiner, but=[entered.code])
        services.exam_hand_over(exam=Exam.objects.get(), who=examiner)

    done = AuditEntry.objects.values_list("what", flat=True)
    assert [list(done).count(what) for what in ("record finished", "no record handed in", "exam moved")] == [
        1,
        3,
        1,
    ]
