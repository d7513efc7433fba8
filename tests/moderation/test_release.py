"""Release: by two people, for the results they have seen; alone only where there is nobody else, with a note."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile, ExamkitError
from examkit.models import AuditEntry, Exam, Membership, Role, State
from examkit.planning.services import exam_move
from grading.errors import NotPossible, ReasonNeeded
from grading.marking.services import record_reopen
from grading.moderation import selectors, services
from tests.cast import person

pytestmark = pytest.mark.database


def agree(exam, who, role=None, seen=None):
    role = role or Membership.objects.get(user=who).role
    seen = selectors.digest(selectors.results(exam)) if seen is None else seen
    return services.release_agree(exam=exam, role=role, seen=seen, who=who)


def state():
    return Exam.objects.get().state


def test_teacher_and_moderator_release_together(marked, teacher, moderator):
    agree(marked, teacher)
    assert state() == State.MARKED

    agree(marked, moderator)
    assert state() == State.RELEASED
    assert AuditEntry.objects.last().detail["agreed"] == {"teacher": "teacher", "moderator": "moderator"}
    assert audit.verify(marked.centre) == []


def test_the_order_of_the_consents_does_not_matter(marked, teacher, moderator):
    agree(marked, moderator)
    agree(marked, teacher)

    assert state() == State.RELEASED


def test_where_there_is_no_moderator_the_teacher_releases_alone_with_a_note(marked, teacher):
    Membership.objects.filter(role=Role.MODERATOR).delete()

    agree(marked, teacher)

    assert state() == State.RELEASED
    assert "no moderator" in AuditEntry.objects.last().detail["note"]


def test_a_teacher_who_is_the_only_moderator_counts_as_one_person(marked, teacher):
    Membership.objects.filter(role=Role.MODERATOR).update(user=teacher)

    assert selectors.needed_roles(marked.centre) == (Role.TEACHER,)


def test_one_person_does_not_agree_in_two_roles(marked, teacher):
    Membership.objects.create(centre=marked.centre, user=teacher, role=Role.MODERATOR)
    agree(marked, teacher, Role.TEACHER)

    with pytest.raises(NotPossible, match="Two people"):
        agree(marked, teacher, Role.MODERATOR)
    assert state() == State.MARKED


def test_nobody_agrees_in_a_role_that_they_do_not_have(marked, teacher, examiner):
    for who, role in ((teacher, Role.MODERATOR), (examiner, Role.TEACHER)):
        with pytest.raises(NotPossible, match="You are not"):
            agree(marked, who, role)


def test_a_role_that_releases_nothing_is_refused(marked, examiner):
    with pytest.raises(NotPossible, match="without a consent"):
        agree(marked, examiner, Role.EXAMINER)


def test_a_teacher_of_another_centre_is_refused(marked, cast):
    with pytest.raises(NotPossible, match="You are not"):
        agree(marked, cast.stranger, Role.TEACHER)


def test_results_that_changed_since_they_were_seen_are_not_agreed_to(marked, teacher):
    with pytest.raises(ChangedMeanwhile):
        agree(marked, teacher, seen="0" * 64)


def test_a_consent_lapses_when_a_result_changes(marked, teacher, moderator):
    agree(marked, teacher)
    marked.candidates.filter(number="0074").update(number="0075")

    agree(marked, moderator)

    assert state() == State.MARKED
    assert [consent.current for consent in selectors.consents(marked)] == [False, True]
    assert "changed since the teacher agreed" in selectors.missing_before_release(marked)[0]


def test_nothing_is_released_before_it_is_marked(exam, teacher):
    with pytest.raises(NotPossible, match="handed over"):
        agree(exam, teacher)


def test_moving_the_exam_by_another_way_needs_the_consents_too(marked, teacher):
    with pytest.raises(ExamkitError, match="has not agreed"):
        exam_move(exam=marked, to=State.RELEASED, who=teacher)
    assert state() == State.MARKED


def test_a_release_is_withdrawn_with_a_reason_and_needs_new_consents(marked, teacher, moderator):
    agree(marked, teacher)
    agree(marked, moderator)

    services.release_withdraw(exam=Exam.objects.get(), reason="one record was mixed up", who=teacher)

    assert state() == State.MARKED
    assert not any(consent.current for consent in selectors.consents(marked))
    assert "mixed up" in str(AuditEntry.objects.last().detail)


def test_withdrawing_needs_a_reason_and_a_release(marked, teacher):
    with pytest.raises(ReasonNeeded):
        services.release_withdraw(exam=marked, reason=" ", who=teacher)
    with pytest.raises(NotPossible):
        services.release_withdraw(exam=marked, reason="why not", who=teacher)


def test_after_a_withdrawal_records_can_be_opened_again(marked, entered, teacher, moderator, examiner):
    agree(marked, teacher)
    agree(marked, moderator)
    services.release_withdraw(exam=Exam.objects.get(), reason="one record was mixed up", who=teacher)
    entered.exam.refresh_from_db()

    record_reopen(sample=entered, reason="mixed up", who=examiner)

    assert state() == State.SAT


def test_a_second_teacher_changes_nothing_about_the_roles(marked, cast):
    person("second teacher", cast.centre, Role.TEACHER)

    assert selectors.needed_roles(marked.centre) == (Role.TEACHER, Role.MODERATOR)
