"""An exam's particulars and states: usual case first, then every refusal; all in the audit trail."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile, ExamkitError, Refused
from examkit.models import AuditEntry, Exam, State
from examkit.planning import services
from examkit.planning.selectors import next_state, steps, still_missing
from grading.models import Record
from tests.planning import exams

pytestmark = pytest.mark.django_db


def move(exam, to, who, reason=""):
    return services.exam_move(exam=exam, to=to, who=who, reason=reason)


def last(cast):
    return AuditEntry.objects.filter(centre=cast.centre).last()


def test_a_new_exam_is_a_draft_and_stands_in_the_trail(cast):
    exam = exams.draft(cast)

    assert (exam.state, exam.centre) == (State.DRAFT, cast.centre)
    assert (last(cast).what, last(cast).about, last(cast).who) == ("exam made", "June practical", "teacher")


def test_two_exams_of_one_centre_never_share_a_name(cast):
    exams.draft(cast)

    with pytest.raises(Refused, match="'June practical' already. Choose another name."):
        exams.draft(cast)


def test_a_change_tells_before_and_after_in_the_trail(cast):
    exam = exams.draft(cast)

    services.exam_change(exam=exam, who=cast.teacher, version=1, name="July practical")

    assert last(cast).detail == {
        "exam": exam.pk, "before": {"name": "June practical"}, "after": {"name": "July practical"}}


def test_a_save_from_an_old_version_is_refused_with_the_stored_one(cast):
    exam = exams.draft(cast)
    services.exam_change(exam=exam, who=cast.teacher, version=1, spare_percent=30)

    with pytest.raises(ChangedMeanwhile) as refused:
        services.exam_change(exam=exam, who=cast.teacher, version=1, spare_percent=50)

    assert refused.value.theirs.spare_percent == 30


def test_a_change_that_changes_nothing_leaves_no_trace(cast):
    exam = exams.draft(cast)
    before = AuditEntry.objects.count()

    services.exam_change(exam=exam, who=cast.teacher, version=1, name=exam.name)

    assert AuditEntry.objects.count() == before


def test_a_draft_is_deleted_with_a_reason_and_a_drawn_exam_not_at_all(cast):
    exam = exams.draft(cast, "Short")
    with pytest.raises(Refused, match="Give a reason"):
        services.exam_delete(exam=exam, who=cast.teacher, reason=" ")

    services.exam_delete(exam=exam, who=cast.teacher, reason="made twice")

    assert not Exam.objects.exists()
    assert last(cast).detail == {"reason": "made twice"}
    with pytest.raises(Refused, match="is drawn"):
        services.exam_delete(exam=exams.drawn(cast), who=cast.teacher, reason="made twice")


def test_an_empty_draft_says_all_that_is_missing(cast):
    assert still_missing(exams.draft(cast)) == [
        "The class list is empty: import it, or add candidates by hand.",
        "There is no sitting yet: add one with its room.",
        "The pool has fewer than two salts: choose them.",
        "The draw is not made yet.",
    ]


def test_too_few_benches_are_told_with_the_numbers(cast):
    exam = exams.planned(cast, candidates=41)

    assert "41 candidates, but only 40 open benches: add a sitting or open benches." in still_missing(exam)


def test_the_steps_say_how_far_planning_is(cast):
    told = [(step.told, step.done) for step in steps(exams.planned(cast))]

    assert told == [("40 candidates", True), ("40 open benches in 2 sittings", True), ("12 salts chosen", True),
                    ("not sealed yet", False)]


def test_a_draft_is_never_moved_to_drawn_by_hand(cast):
    with pytest.raises(Refused, match="The draw is not made yet"):
        move(exams.planned(cast), State.DRAWN, cast.teacher)


def test_a_state_is_never_skipped(cast):
    with pytest.raises(Refused, match="the step after that is another one"):
        move(exams.drawn(cast), State.SAT, cast.teacher)


def test_the_way_from_drawn_to_released(cast, settings):
    settings.EXAM_CONDITIONS = {}
    exam = exams.drawn(cast, candidates=3)
    move(exam, State.PREPARED, cast.teacher)
    move(exam, State.SAT, cast.teacher)
    with pytest.raises(Refused, match="3 samples have no record yet"):
        move(exam, State.MARKED, cast.teacher)
    for sample in exam.samples.all():
        Record.objects.create(sample=sample)
    with pytest.raises(Refused, match="3 records are not fully marked"):
        move(exam, State.MARKED, cast.teacher)
    Record.objects.update(finished=True)
    move(exam, State.MARKED, cast.teacher)
    exam = move(exam, State.RELEASED, cast.teacher)

    assert next_state(exam) is None and still_missing(exam) == []
    assert audit.verify(cast.centre) == []


def nothing_is_ready(exam):
    return ["The moon is not full."]


def test_other_parts_add_what_they_miss(cast, settings):
    settings.EXAM_CONDITIONS = {"prepared": ["tests.planning.test_exam_services.nothing_is_ready"]}
    exam = exams.drawn(cast)

    assert still_missing(exam) == ["The moon is not full."]
    with pytest.raises(Refused, match="The moon is not full."):
        move(exam, State.PREPARED, cast.teacher)


def test_a_step_back_needs_a_reason_and_keeps_it(cast, settings):
    settings.EXAM_CONDITIONS = {}
    exam = move(exams.drawn(cast), State.PREPARED, cast.teacher)
    with pytest.raises(Refused, match="Give a reason"):
        move(exam, State.DRAWN, cast.teacher)

    exam = move(exam, State.DRAWN, cast.teacher, "a bottle broke")

    assert exam.state == State.DRAWN
    assert last(cast).detail["reason"] == "a bottle broke"


def test_undoing_the_draw_takes_all_of_it_away_and_the_trail_keeps_its_digest(cast):
    exam = exams.drawn(cast)
    commitment = exam.commitment

    exam = move(exam, State.DRAFT, cast.teacher, "a candidate was forgotten")

    assert (exam.samples.count(), exam.expected.count()) == (0, 0)
    assert (exam.seed, exam.nonce, exam.commitment, exam.edition, exam.draw) == ("", "", "", "", {})
    assert last(cast).detail["commitment"] == commitment and len(last(cast).detail["seats"]) == 64


def test_a_draw_with_records_is_not_undone(cast):
    exam = exams.drawn(cast)
    Record.objects.create(sample=exam.samples.first())

    with pytest.raises(Refused, match="Records have been entered for this draw already"):
        move(exam, State.DRAFT, cast.teacher, "a candidate was forgotten")

    assert exam.samples.count() == 40


FROZEN = {
    "particulars": lambda exam, who: services.exam_change(exam=exam, who=who, name="x"),
    "class list": lambda exam, who: services.roster_import(exam=exam, who=who, entries=exams.entries(1)),
    "candidate": lambda exam, who: services.candidate_save(exam=exam, who=who, number="x", name="x"),
    "off the list": lambda exam, who: services.candidate_delete(
        candidate=exam.candidates.first(), who=who, reason="left school"),
    "pool": lambda exam, who: services.pool_set(exam=exam, who=who, formulas=exams.SALTS[:3]),
    "sitting": lambda exam, who: services.sitting_delete(
        sitting=exam.sittings.first(), who=who, reason="too early"),
    "new sitting": lambda exam, who: services.sitting_add(
        exam=exam, who=who, name="x", room=exam.sittings.first().room),
    "changed sitting": lambda exam, who: services.sitting_change(
        sitting=exam.sittings.first(), who=who, name="x", room=exam.sittings.first().room),
    "deleted": lambda exam, who: services.exam_delete(exam=exam, who=who, reason="no reason"),
}


@pytest.mark.parametrize("what", FROZEN)
@pytest.mark.parametrize("state", ["sealed", "drawn"])
def test_nothing_of_a_sealed_or_drawn_exam_can_be_changed(cast, state, what):
    exam = exams.planned(cast, candidates=4)
    services.draw_seal(exam=exam, who=cast.teacher)
    if state == "drawn":
        services.draw_make(exam=exam, who=cast.teacher)
    entries = AuditEntry.objects.count()

    with pytest.raises(ExamkitError, match=f"{state}.*frozen"):
        FROZEN[what](exam, cast.teacher)

    assert AuditEntry.objects.count() == entries
