"""Second marking through its services: the draw, blind marks, the finish, settling, and every refusal."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile, ExamkitError
from examkit.models import AuditEntry, Membership, Part, Role, State
from examkit.planning.services import duty_add, exam_move
from grading.errors import NoSuchMark, NotPossible, ReasonNeeded
from grading.marking.services import line_save, record_finish, record_reopen
from grading.models import Award, Record, SecondDraw, SecondMark, SecondMarking
from grading.moderation.services import release_withdraw
from grading.second import selectors, services
from tests.cast import person
from tests.marking.exams import parts
from tests.moderation.test_release import agree
from tests.second import acts

pytestmark = pytest.mark.database


def last():
    return AuditEntry.objects.order_by("-sequence").first()


def only_row(exam):
    return selectors.rows(exam)[0]


def draw(exam, who, size=1, reason="", **more):
    return services.sample_draw(exam=exam, size=size, reason=reason, who=who, **more)


# the draw
def test_a_draw_is_kept_with_its_seed_and_all_it_chose_from_and_can_be_drawn_again(exam, moderator, second):
    drawn = draw(exam, moderator, 3)

    assert len(drawn.seed) == 32 and drawn.by == moderator
    kept = {(marking.record.sample.code, marking.marker_id) for marking in drawn.markings.all()}
    assert set(selectors.drawn_again(drawn)) == kept and len(kept) == 3
    assert (last().what, last().detail["seed"]) == ("sample for second marking drawn", drawn.seed)
    assert last().detail["records"].keys() == {code for code, _marker in kept}
    assert audit.verify(exam.centre) == []


def test_more_are_drawn_with_a_reason_and_none_twice(exam, moderator):
    draw(exam, moderator, 2)
    more = draw(exam, moderator, 2, "the first two differ much")

    assert SecondMarking.objects.count() == 4 and last().what == "sample for second marking added to"
    assert set(selectors.drawn_again(more)) == {(m.record.sample.code, m.marker_id) for m in more.markings.all()}


def test_drawing_more_without_a_reason_is_refused(exam, moderator):
    draw(exam, moderator)
    with pytest.raises(ReasonNeeded):
        draw(exam, moderator, 1, "  ")
    assert SecondDraw.objects.count() == 1


def test_nobody_gets_a_record_that_they_marked_first(exam, moderator, examiner, second):
    duty_add(exam=exam, who=moderator, user=examiner, part=Part.SECOND)
    draw(exam, moderator, 4)

    assert {marking.marker for marking in SecondMarking.objects.all()} == {second}


def test_a_draw_with_the_first_examiner_as_only_second_marker_is_refused(exam, moderator, examiner, second):
    exam.duties.all().delete()
    duty_add(exam=exam, who=moderator, user=examiner, part=Part.SECOND)
    with pytest.raises(NotPossible, match="that a second marker has not marked first"):
        draw(exam, moderator)


def test_a_draw_without_a_second_marker_says_where_they_are_named(exam, moderator):
    exam.duties.all().delete()
    with pytest.raises(NotPossible, match="Who does what"):
        draw(exam, moderator)


def test_a_second_marker_who_lost_their_role_is_none(exam, moderator, second):
    Membership.objects.filter(user=second).delete()
    with pytest.raises(NotPossible, match="Nobody marks a second time"):
        draw(exam, moderator)


def test_more_records_than_there_are_are_refused_with_their_number(exam, moderator):
    with pytest.raises(NotPossible, match="4 of 4 finished records can be drawn"):
        draw(exam, moderator, 5)


def test_unfinished_records_are_not_drawn_from(exam, moderator, examiner):
    record_reopen(sample=exam.samples.first(), reason="a line is missing", who=examiner)
    with pytest.raises(NotPossible, match="3 of 3"):
        draw(exam, moderator, 4)


@pytest.mark.parametrize("state", [State.PREPARED, State.RELEASED])
def test_nothing_is_drawn_before_the_sittings_or_after_the_release(exam, moderator, state):
    exam.state = state
    exam.save()
    with pytest.raises(NotPossible, match="between the sittings and the release"):
        draw(exam, moderator)


def test_a_record_is_taken_out_with_a_reason_and_its_marks_stay_in_the_trail(sample, moderator, second):
    acts.give(sample, second, parts(sample)[0])
    services.sample_take_out(sample=sample, reason="the marker is ill", who=moderator)

    assert not SecondMarking.objects.exists() and not SecondMark.objects.exists()
    assert last().detail["marks"] == {acts.PART: parts(sample)[0].steps}
    assert last().detail["reason"] == "the marker is ill"


def test_a_record_that_was_marked_twice_stays_in_the_sample(finished, moderator):
    with pytest.raises(NotPossible, match="is finished"):
        services.sample_take_out(sample=finished, reason="too different", who=moderator)
    with pytest.raises(ReasonNeeded):
        services.sample_take_out(sample=finished, reason="", who=moderator)


def test_a_record_that_is_not_drawn_cannot_be_taken_out(exam, moderator):
    with pytest.raises(NotPossible, match="not in the sample"):
        services.sample_take_out(sample=exam.samples.first(), reason="no longer needed", who=moderator)


# second marks
def test_a_second_mark_is_kept_apart_and_touches_no_award(sample, second):
    before = list(Award.objects.order_by("pk").values())
    mark = acts.give(sample, second, parts(sample)[0], 1)

    assert (mark.by, mark.reason, mark.first_steps) == (second, acts.WHY, None)
    assert list(Award.objects.order_by("pk").values()) == before
    assert (last().what, last().detail["to"]) == ("second mark given", mark.steps)


def test_a_second_mark_is_changed_and_given_twice_is_one(sample, second):
    part = parts(sample)[0]
    acts.give(sample, second, part)
    entries = AuditEntry.objects.count()
    acts.give(sample, second, part)
    assert AuditEntry.objects.count() == entries

    assert acts.give(sample, second, part, 1, version=1).version == 2
    assert last().what == "second mark changed"


def test_a_second_mark_obeys_the_rules_of_a_first_one(sample, second):
    part = parts(sample)[0]
    with pytest.raises(ReasonNeeded):
        acts.give(sample, second, part, 1, reason=" ")
    with pytest.raises(NoSuchMark):
        acts.give(sample, second, part, -99)
    acts.give(sample, second, part)
    with pytest.raises(ChangedMeanwhile):
        acts.give(sample, second, part, 1)


def test_nobody_else_gives_second_marks(sample, moderator, examiner, cast):
    for who in (moderator, examiner, cast.teacher, cast.stranger):
        with pytest.raises(NotPossible, match="Another person"):
            acts.give(sample, who, parts(sample)[0])


def test_who_is_no_second_marker_any_more_gives_none(exam, sample, second):
    exam.duties.all().delete()
    with pytest.raises(NotPossible, match="Another person"):
        acts.give(sample, second, parts(sample)[0])


def test_a_record_that_was_opened_again_waits(sample, second, examiner):
    record_reopen(sample=sample, reason="a line is missing", who=examiner)
    with pytest.raises(NotPossible, match="not finished"):
        acts.give(sample, second, parts(sample)[0])


def test_a_second_marking_with_a_mark_missing_is_not_finished(sample, second):
    acts.give(sample, second, parts(sample)[0])
    with pytest.raises(NotPossible, match="marks are missing"):
        services.second_finish(sample=sample, who=second)


def test_a_finished_second_marking_notes_the_first_marks_and_is_closed(exam, finished, second, examiner):
    mark = acts.second_mark(finished)

    assert (mark.first_steps - mark.steps, mark.first_by) == (1, examiner)
    assert last().detail["differ"] == {acts.PART: [mark.first_steps, mark.steps]}
    assert only_row(exam).done and only_row(exam).unsettled == 1
    with pytest.raises(NotPossible, match="is finished"):
        acts.give(finished, second, parts(finished)[0], version=1)


def test_before_the_finish_there_is_no_difference_to_see(exam, sample, second):
    acts.mark_again(sample, second, lower=acts.PART)
    assert only_row(exam).differences == [] and selectors.agreed(selectors.rows(exam)) == []


def test_words_that_change_after_the_second_marking_ask_for_it_again(exam, finished, second, examiner):
    record_reopen(sample=finished, reason="a word was misread", who=examiner)
    line_save(sample=finished, test="appearance", observation="white powder", inference="", version=1, who=examiner)
    row = only_row(exam)

    assert row.again and not row.done and row.differences == []
    assert "marked a second time yet" in selectors.missing_before_release(exam)[0]


# settling
def test_the_decision_becomes_the_award_with_one_entry_of_the_trail(exam, finished, moderator):
    mark, entries = acts.second_mark(finished), AuditEntry.objects.count()
    award = acts.decide(finished, moderator, mark.steps)

    assert (award.steps, award.by, award.reason) == (mark.steps, moderator, "both were looked at again")
    assert AuditEntry.objects.count() == entries + 1
    assert last().what == "difference settled" and last().detail["first"] == mark.first_steps
    assert (last().detail["first by"], last().detail["second by"]) == ("examiner", "sella")
    assert only_row(exam).unsettled == 0 and len(only_row(exam).differences) == 1
    assert Record.objects.get(sample=finished).finished


@pytest.mark.parametrize("less", [0, 1, 2])
def test_first_second_or_another_mark_can_be_decided_on(exam, finished, moderator, less):
    steps = acts.second_mark(finished).first_steps - less
    acts.decide(finished, moderator, steps)

    assert Award.objects.get(record__sample=finished, part=acts.PART).steps == steps
    assert only_row(exam).unsettled == 0


def test_a_settled_difference_is_settled_anew_until_the_release(exam, finished, moderator):
    acts.decide(finished, moderator, acts.second_mark(finished).steps)
    acts.decide(finished, moderator, acts.second_mark(finished).first_steps, reason="the teacher was asked")

    assert only_row(exam).unsettled == 0 and last().detail["why"] == "the teacher was asked"
    assert (last().detail["from"], last().detail["to"]) == (1, 2)


def test_settling_changes_no_figure_of_agreement(exam, finished, moderator):
    before = selectors.agreed(selectors.rows(exam))
    acts.decide(finished, moderator, acts.second_mark(finished).steps)
    after = selectors.agreed(selectors.rows(exam))

    assert [line.found for _title, lines in before for line in lines] == [
        line.found for _title, lines in after for line in lines]


def test_settling_needs_a_reason(finished, moderator):
    with pytest.raises(ReasonNeeded):
        acts.decide(finished, moderator, 1, reason=" ")
    assert acts.second_mark(finished).settled_steps is None


def test_settling_a_mark_that_somebody_settled_meanwhile_is_refused(finished, moderator):
    stamp = next(part.stamp for part in parts(finished) if part.key == acts.PART)
    acts.decide(finished, moderator, 1)
    with pytest.raises(ChangedMeanwhile):
        services.settle(sample=finished, part=acts.PART, steps=2, reason="seen again", version=1, stamp=stamp,
                        who=moderator)


def test_only_a_moderator_settles(finished, teacher, examiner, second):
    for who in (teacher, examiner, second):
        with pytest.raises(NotPossible, match="by a moderator"):
            acts.decide(finished, who, 1)


def test_where_both_agree_nothing_is_settled(finished, moderator):
    with pytest.raises(NotPossible, match="no difference"):
        acts.decide(finished, moderator, 0, part="flame.observation")


def test_a_marker_does_not_settle_their_own_difference_where_another_moderator_can(finished, second, moderator):
    Membership.objects.create(centre=finished.exam.centre, user=second, role=Role.MODERATOR)
    with pytest.raises(NotPossible, match="Moss Dale, who gave neither"):
        acts.decide(finished, second, 1)

    Membership.objects.filter(user=moderator).delete()
    acts.decide(finished, second, 1)
    assert "no other moderator" in last().detail["note"]


def test_a_mark_that_is_changed_after_it_was_settled_is_a_difference_again(exam, finished, moderator, examiner):
    acts.decide(finished, moderator, 1)
    record_reopen(sample=finished, reason="looked at again", who=examiner)
    Award.objects.filter(record__sample=finished, part=acts.PART).update(steps=0)
    record_finish(sample=finished, who=examiner)

    assert only_row(exam).unsettled == 1


# the release
def test_unsettled_differences_stand_before_the_release_with_the_way_out(handed_over, teacher, moderator):
    missing = selectors.missing_before_release(handed_over)
    assert len(missing) == 1 and "The moderator settles them under “Second marking”" in missing[0]
    assert acts.drawn(handed_over)[0].code in missing[0]
    with pytest.raises(NotPossible, match="differ between first and second marker"):
        agree(handed_over, teacher)
    with pytest.raises(ExamkitError, match="differ between first and second marker"):
        exam_move(exam=handed_over, to=State.RELEASED, who=teacher)


def test_settled_the_results_are_released_and_then_nothing_is_settled_any_more(handed_over, teacher, moderator):
    sample = acts.drawn(handed_over)[0]
    acts.decide(sample, moderator, 1)
    agree(handed_over, teacher)
    agree(handed_over, moderator)
    handed_over.refresh_from_db()
    assert handed_over.state == State.RELEASED

    with pytest.raises(NotPossible, match="Withdraw the release"):
        acts.decide(acts.drawn(handed_over)[0], moderator, 2)
    release_withdraw(exam=handed_over, reason="one mark was wrong", who=teacher)
    acts.decide(acts.drawn(handed_over)[0], moderator, 2)


def test_settling_after_a_consent_asks_for_it_again(handed_over, teacher, moderator):
    services.allowed_set(exam=handed_over, steps=1, reason="half a mark is nothing", who=teacher)
    agree(handed_over, teacher)
    acts.decide(acts.drawn(handed_over)[0], moderator, 1)

    agree(handed_over, moderator)
    handed_over.refresh_from_db()
    assert handed_over.state == State.MARKED


def test_a_teacher_lets_small_differences_stand_with_a_reason(handed_over, teacher):
    with pytest.raises(ReasonNeeded):
        services.allowed_set(exam=handed_over, steps=1, reason="", who=teacher)
    services.allowed_set(exam=handed_over, steps=1, reason="half a mark is nothing", who=teacher)

    assert selectors.missing_before_release(handed_over) == []
    assert last().detail["now"] == 1 and len(only_row(handed_over).differences) == 1


def test_records_that_wait_for_their_second_marker_stand_before_the_release(exam, sample):
    missing = selectors.missing_before_release(exam)
    assert len(missing) == 1 and "taken out of the sample there, with a reason" in missing[0]


def test_an_exam_without_a_sample_misses_nothing(exam):
    assert selectors.missing_before_release(exam) == []


def test_agreement_stands_by_stage_and_by_pair_with_its_counts(exam, finished):
    everything, stages, pairs = [lines for _title, lines in selectors.agreed(selectors.rows(exam))]

    assert everything[0].found.n == len(parts(finished)) == sum(line.found.n for line in stages)
    assert everything[0].found.same == everything[0].found.n - 1 and everything[0].found.lean == -1
    assert [line.title for line in pairs] == ["Edda Fell, then Sella Moor"]
    assert [line.found.exact for line in stages if line.found.n < selectors.enough()] == [None] * sum(
        line.found.n < selectors.enough() for line in stages)


def test_another_moderator_is_found_only_where_there_is_one(exam, finished, moderator, cast):
    mark = acts.second_mark(finished)
    assert selectors.other_moderator(exam, mark) == moderator
    person("third", cast.elsewhere, Role.MODERATOR)
    Membership.objects.filter(user=moderator).delete()
    assert selectors.other_moderator(exam, mark) is None
