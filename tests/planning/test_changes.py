"""After the draw: one candidate, bench, pair or batch is drawn anew alone, with a reason, and it checks out."""

import pytest

from examkit.errors import Refused
from examkit.models import AuditEntry, Candidate, Sample, State
from examkit.planning import services
from examkit.planning.draw_check import check
from examkit.planning.selectors.draw import drawn_now
from grading.models import Record
from tests.planning import exams, random_exams

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def seats(exam):
    return {s.candidate.number: (s.sitting.name, s.bench.label, s.salt, s.code)
            for s in exam.samples.select_related("candidate", "sitting", "bench")}


def differing(before, after):
    return sorted(number for number in before.keys() | after.keys() if before.get(number) != after.get(number))


def hard_rules_broken(exam):
    now = drawn_now(exam)
    return random_exams.broken(now.plan, list(now.seats.values()))


@pytest.fixture
def drawn(cast):
    return exams.drawn(cast, candidates=36)


def test_a_late_candidate_gets_a_bench_and_a_salt_and_nobody_else_is_touched(cast, drawn):
    before = seats(drawn)

    services.late_candidate(exam=drawn, who=cast.teacher, reason="came from another school", number="900", name="Late")

    drawn.refresh_from_db()
    assert differing(before, seats(drawn)) == ["900"]
    assert hard_rules_broken(drawn) == [] and check(drawn) == []
    entry = AuditEntry.objects.last()
    assert entry.what == "late candidate" and entry.detail["reason"] == "came from another school"
    assert seats(drawn)["900"][2] not in str(entry.detail), "the trail does not say which salt"


def test_a_late_candidate_sits_where_they_asked_to(cast, drawn):
    free = next(b for b in drawn.sittings.get(name="morning").room.benches.all()
                if not b.samples.filter(sitting__name="morning").exists())

    services.late_candidate(exam=drawn, who=cast.teacher, reason="late entry", number="900", name="Late",
                            sitting_wish="morning", bench_wish=free.label)

    assert seats(drawn)["900"][:2] == ("morning", free.label)


def test_who_sat_at_a_broken_bench_alone_moves(cast, drawn):
    sample = drawn.samples.select_related("candidate", "sitting", "bench").first()
    before = seats(drawn)

    services.bench_broken(exam=drawn, who=cast.teacher, reason="no gas", sitting=sample.sitting, bench=sample.bench)

    drawn.refresh_from_db()
    assert differing(before, seats(drawn)) == [sample.candidate.number]
    assert seats(drawn)[sample.candidate.number][1] != sample.bench.label
    assert hard_rules_broken(drawn) == [] and check(drawn) == []


def room_of(exam):
    return exam.sittings.get(name="morning").room


def full_morning(cast):
    """An exam whose morning has a candidate on every bench, and its afternoon four free ones."""
    exam = exams.planned(cast, candidates=36)
    exam.candidates.filter(number__lte="020").update(sitting_wish="morning")
    exam.candidates.filter(number__gt="020").update(sitting_wish="afternoon")
    services.draw_seal(exam=exam, who=cast.teacher)
    services.draw_make(exam=exam, who=cast.teacher)
    exam.refresh_from_db()
    return exam


def test_who_sat_at_a_broken_bench_of_a_full_sitting_goes_to_another_sitting(cast):
    exam = full_morning(cast)
    sample = exam.samples.filter(sitting__name="morning").select_related("candidate", "sitting", "bench").first()
    before, number = seats(exam), sample.candidate.number
    broken = {"exam": exam, "who": cast.teacher, "reason": "no gas", "sitting": sample.sitting, "bench": sample.bench}

    with pytest.raises(Refused, match="no other free bench.*'A bench comes into use'.*'Another sitting'"):
        services.bench_broken(**broken)
    services.candidate_moved(exam=exam, who=cast.teacher, reason="no gas", candidate=sample.candidate)
    services.bench_broken(**broken)

    exam.refresh_from_db()
    assert differing(before, seats(exam)) == [number] and seats(exam)[number][0] == "afternoon"
    assert hard_rules_broken(exam) == [] and check(exam) == []
    assert [change["about"]["kind"] for change in exam.draw["changes"]] == ["another sitting", "broken bench"]


def test_a_move_keeps_the_sample_where_that_keeps_the_rules_and_is_taken_back_with_a_reason(cast, drawn):
    before = seats(drawn)
    afternoon = drawn.sittings.get(name="afternoon")
    for candidate in drawn.candidates.filter(sample__sitting__name="morning")[:2]:
        services.candidate_moved(exam=drawn, who=cast.teacher, reason="bus is late", candidate=candidate, sitting=afternoon)
        drawn.refresh_from_db()
        now = seats(drawn)[candidate.number]
        assert now[0] == "afternoon" and (now[2] == before[candidate.number][2]) == (now[3] == before[
            candidate.number][3]), "another salt has another code, the same salt keeps its own"
        assert check(drawn) == [] and hard_rules_broken(drawn) == []

    for _each in range(2):
        services.change_undo(exam=drawn, who=cast.teacher, reason="the bus came")

    drawn.refresh_from_db()
    assert seats(drawn) == before and check(drawn) == []


def test_a_bench_that_comes_into_use_after_the_draw_takes_a_candidate(cast):
    exam = exams.planned(cast)
    services.room_place(room=room_of(exam), who=cast.teacher, row=4, column=3, what="closed bench")
    exam.candidates.filter(number__gt="038").delete()
    services.draw_seal(exam=exam, who=cast.teacher)
    services.draw_make(exam=exam, who=cast.teacher)
    exam.refresh_from_db()
    sample = exam.samples.filter(sitting__name="morning").select_related("candidate", "sitting", "bench").first()
    services.room_place(room=room_of(exam), who=cast.teacher, row=4, column=3, what="left-handed bench")
    before, spare = seats(exam), room_of(exam).benches.get(label="E4")

    services.bench_opened(exam=exam, who=cast.teacher, reason="repaired", sitting=sample.sitting, bench=spare)
    assert seats(exam) == before, "nobody moves for it"
    services.bench_broken(exam=exam, who=cast.teacher, reason="no gas", sitting=sample.sitting, bench=sample.bench)

    exam.refresh_from_db()
    assert seats(exam)[sample.candidate.number][:2] == ("morning", "E4")
    assert check(exam) == [] and hard_rules_broken(exam) == []
    morning = next(hall for hall in drawn_now(exam).plan.halls if hall.name == "morning")
    assert "E4" in morning.left and sample.bench.label not in {bench.label for bench in morning.benches}
    for _each in range(2):
        services.change_undo(exam=exam, who=cast.teacher, reason="it was the tap")
    exam.refresh_from_db()
    assert seats(exam) == before and check(exam) == []


def test_two_who_sat_at_each_others_bench_have_the_samples_that_stood_there(cast, drawn):
    one, other = drawn.candidates.all()[:2]
    before = seats(drawn)

    services.seats_swapped(exam=drawn, who=cast.teacher, reason="sat down wrongly", one=one, other=other)

    drawn.refresh_from_db()
    after = seats(drawn)
    assert differing(before, after) == [one.number, other.number]
    assert after[one.number] == before[other.number] and after[other.number] == before[one.number]
    assert check(drawn) == []


def test_whoever_has_a_spoilt_batch_gets_another_salt_and_code(cast, drawn):
    salt = drawn.samples.first().salt
    before = seats(drawn)

    services.batch_spoilt(exam=drawn, who=cast.teacher, reason="wet in the jar", salt=salt)

    drawn.refresh_from_db()
    after = seats(drawn)
    assert differing(before, after) == sorted(n for n, seat in before.items() if seat[2] == salt)
    assert not drawn.samples.filter(salt=salt).exists()
    assert all(before[n][3] != after[n][3] for n in differing(before, after))
    assert hard_rules_broken(drawn) == [] and check(drawn) == []


def test_a_batch_spoilt_in_one_sitting_is_left_in_the_other(cast, drawn):
    sitting = drawn.sittings.get(name="morning")
    salt = drawn.samples.filter(sitting=sitting).first().salt

    services.batch_spoilt(exam=drawn, who=cast.teacher, reason="spilt", salt=salt, sitting=sitting)

    assert not drawn.samples.filter(sitting=sitting, salt=salt).exists()
    assert drawn.samples.filter(salt=salt).exists()


def test_changes_follow_each_other_and_the_last_can_be_taken_back(cast, drawn):
    services.late_candidate(exam=drawn, who=cast.teacher, reason="late entry", number="900", name="Late")
    before = seats(drawn)
    services.batch_spoilt(exam=drawn, who=cast.teacher, reason="wet in the jar", salt=drawn.samples.first().salt)
    drawn.refresh_from_db()
    assert check(drawn) == []

    services.change_undo(exam=drawn, who=cast.teacher, reason="it was another jar")

    drawn.refresh_from_db()
    assert seats(drawn) == before and check(drawn) == []
    services.change_undo(exam=drawn, who=cast.teacher, reason="did not come")
    drawn.refresh_from_db()
    assert not Candidate.objects.filter(number="900").exists() and check(drawn) == []


def test_a_change_is_not_taken_back_once_a_record_is_entered_for_who_it_touched(cast, drawn):
    services.late_candidate(exam=drawn, who=cast.teacher, reason="late entry", number="900", name="Late")
    Record.objects.create(sample=drawn.samples.get(candidate__number="900"))

    with pytest.raises(Refused, match="A record has been entered for candidate 900 already"):
        services.change_undo(exam=drawn, who=cast.teacher, reason="did not come")
    assert drawn.samples.filter(candidate__number="900").exists()


def test_a_batch_that_nobody_has_is_not_drawn_anew(cast, drawn):
    sitting = drawn.sittings.get(name="morning")
    Sample.objects.filter(sitting=sitting, salt="KI").delete()

    with pytest.raises(Refused, match="Nobody has KI there"):
        services.batch_spoilt(exam=drawn, who=cast.teacher, reason="wet in the jar", salt="KI", sitting=sitting)


def test_a_swap_can_be_taken_back(cast, drawn):
    one, other = drawn.candidates.all()[:2]
    before = seats(drawn)
    services.seats_swapped(exam=drawn, who=cast.teacher, reason="sat down wrongly", one=one, other=other)

    services.change_undo(exam=drawn, who=cast.teacher, reason="they changed back")

    assert seats(drawn) == before


def test_a_change_that_was_made_behind_the_draw_is_found(cast, drawn):
    services.late_candidate(exam=drawn, who=cast.teacher, reason="late entry", number="900", name="Late")
    drawn.refresh_from_db()
    late = Sample.objects.get(candidate__number="900")
    Sample.objects.filter(pk=late.pk).update(salt=next(s for s in exams.SALTS if s != late.salt))

    assert any("900" in problem for problem in check(drawn))


# Refusals

def test_a_bench_that_was_closed_in_the_room_since_is_given_to_nobody(cast, drawn):
    room_of(drawn).benches.update(open=False)

    with pytest.raises(Refused, match="in the room it is closed or gone. Report it first"):
        services.late_candidate(exam=drawn, who=cast.teacher, reason="late entry", number="900", name="Late")
    assert not Candidate.objects.filter(number="900").exists()


def test_a_bench_that_left_the_room_since_is_named_when_a_change_is_taken_back(cast, drawn):
    sample = drawn.samples.select_related("candidate", "sitting", "bench").first()
    free = sample.bench
    services.candidate_moved(exam=drawn, who=cast.teacher, reason="bus is late", candidate=sample.candidate)
    Sample.objects.filter(bench=free).delete()
    free.delete()

    with pytest.raises(Refused, match=f"Bench {free.label} is no longer in the room"):
        services.change_undo(exam=drawn, who=cast.teacher, reason="the bus came")


def test_a_bench_in_use_does_not_come_into_use_again(cast, drawn):
    sample = drawn.samples.first()
    with pytest.raises(Refused, match="in use in this sitting already"):
        services.bench_opened(exam=drawn, who=cast.teacher, reason="by mistake", sitting=sample.sitting,
                              bench=sample.bench)


def test_nobody_moves_to_a_sitting_that_is_full_or_their_own(cast):
    exam = full_morning(cast)
    morning = exam.sittings.get(name="morning")
    for number in ("001", "030"):
        with pytest.raises(Refused, match=f"free bench for candidate {number}.*name another sitting"):
            services.candidate_moved(exam=exam, who=cast.teacher, reason="bus is late", sitting=morning,
                                     candidate=exam.candidates.get(number=number))


def test_a_change_needs_a_reason(cast, drawn):
    with pytest.raises(Refused, match="Give a reason"):
        services.late_candidate(exam=drawn, who=cast.teacher, reason=" ", number="900", name="Late")
    assert not Candidate.objects.filter(number="900").exists()


def test_a_draft_has_nothing_to_draw_anew(cast):
    with pytest.raises(Refused, match="between the draw and the exam"):
        services.late_candidate(exam=exams.planned(cast), who=cast.teacher, reason="late entry", number="1", name="L")


def test_an_exam_that_was_sat_is_left_alone(cast, drawn):
    drawn.state = State.SAT
    drawn.save()
    with pytest.raises(Refused, match="is sat"):
        services.batch_spoilt(exam=drawn, who=cast.teacher, reason="wet in the jar", salt=exams.SALTS[0])


def test_full_rooms_have_no_place_for_a_late_candidate(cast):
    exam = exams.drawn(cast, candidates=40)

    with pytest.raises(Refused, match="No free bench is left for candidate 900"):
        services.late_candidate(exam=exam, who=cast.teacher, reason="late entry", number="900", name="Late")
    assert not Candidate.objects.filter(number="900").exists()


def test_a_number_that_is_taken_is_refused(cast, drawn):
    with pytest.raises(Refused, match="number 001 is taken"):
        services.late_candidate(exam=drawn, who=cast.teacher, reason="late entry", number="001", name="Late")


def test_one_candidate_cannot_be_swapped_with_themselves(cast, drawn):
    one = drawn.candidates.first()
    with pytest.raises(Refused, match="Choose two candidates"):
        services.seats_swapped(exam=drawn, who=cast.teacher, reason="by mistake", one=one, other=one)


def test_there_is_nothing_to_take_back_before_any_change(cast, drawn):
    with pytest.raises(Refused, match="no change after the draw"):
        services.change_undo(exam=drawn, who=cast.teacher, reason="just to see")
