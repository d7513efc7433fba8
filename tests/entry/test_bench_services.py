"""The door of the bench page and what is written there, through the services."""

from datetime import timedelta

import pytest
from django.utils import timezone

from examkit import audit
from examkit.day.services import note, rest_present
from examkit.errors import ChangedMeanwhile
from examkit.models import AuditEntry, State
from examkit.planning.selectors import still_missing
from examkit.planning.services import exam_move
from examkit.planning.services.guard import locked
from grading.entry.bench.codes import NoSuchCode, new_code, read_one_time, spaced_code
from grading.entry.bench.selectors import end_now
from grading.entry.bench.services import code_redeem, codes_issue, rules_set, sitting_close, time_set
from grading.entry.bench.writing import Closed, bench_hand_in, bench_line_save, bench_result_save
from grading.errors import NotPossible
from grading.models import BenchCode, Record, RecordLine, Way
from tests.entry.sat import in_hours, let_in, slips_of
from tests.marking.exams import sample_of

pytestmark = pytest.mark.database


def write(code, words, version=0, test="naoh", **more):
    return bench_line_save(code=code, test=test, observation=words, inference="", version=version, **more)


# the door

def test_everybody_in_a_sitting_gets_a_code_of_their_own(exam, sitting, teacher):
    slips = codes_issue(sitting=sitting, until=in_hours(), who=teacher)

    assert [slip.bench for slip in slips] == ["Q0", "Q1", "Q2", "Q3"]
    assert len({slip.code for slip in slips}) == 4
    assert BenchCode.objects.count() == 4


def test_a_code_is_kept_as_a_digest_only_and_never_told_to_the_trail(exam, teacher):
    code = next(iter(slips_of(exam, teacher).values())).replace(" ", "")

    kept = str(list(BenchCode.objects.values())) + str(list(AuditEntry.objects.values()))
    assert code not in kept
    assert spaced_code(code) not in kept


def test_a_code_lets_its_candidate_in_once(exam, teacher, sample):
    code = slips_of(exam, teacher)[sample.code].replace(" ", "")

    assert code_redeem(sample_code=sample.code, one_time=code).sample == sample
    with pytest.raises(NoSuchCode, match="works once"):
        code_redeem(sample_code=sample.code, one_time=code)


def test_a_code_does_not_open_the_record_of_a_neighbour(exam, teacher, sample):
    code = slips_of(exam, teacher)[sample_of(exam, "0072").code].replace(" ", "")

    with pytest.raises(NoSuchCode, match="let nobody in"):
        code_redeem(sample_code=sample.code, one_time=code)


def test_a_code_ends_with_its_sitting(exam, teacher, sample):
    code = slips_of(exam, teacher)[sample.code].replace(" ", "")
    BenchCode.objects.update(until=timezone.now() - timedelta(seconds=1))

    with pytest.raises(NoSuchCode):
        code_redeem(sample_code=sample.code, one_time=code)


def test_a_new_code_ends_the_one_before_and_who_came_in_by_it(exam, sitting, teacher, candidate):
    write(candidate, "white")
    (slip,) = codes_issue(sitting=sitting, until=in_hours(), who=teacher, samples=[candidate.sample])

    with pytest.raises(Closed, match="new code"):
        write(candidate, "blue", version=1)
    again = code_redeem(sample_code=candidate.sample.code, one_time=slip.code.replace(" ", ""))
    assert write(again, "blue", version=1).observation == "blue"


def test_codes_for_all_leave_those_alone_who_have_one(exam, sitting, teacher, candidate):
    with pytest.raises(NotPossible, match="Everybody in this sitting has a code"):
        codes_issue(sitting=sitting, until=in_hours(), who=teacher)

    assert write(candidate, "white").version == 1


@pytest.mark.parametrize("state", [State.DRAFT, State.DRAWN, State.SAT, State.MARKED, State.RELEASED])
def test_codes_are_given_out_on_the_day_only(state, exam, sitting, teacher):
    exam.state = sitting.exam.state = state
    exam.save()

    with pytest.raises(NotPossible, match="stock room is signed off"):
        codes_issue(sitting=sitting, until=in_hours(), who=teacher)


@pytest.mark.parametrize(("hours", "words"), [(-1, "over already"), (24 * 30, "14 days"), (0, "over already")])
def test_an_end_that_cannot_be_meant_is_refused(hours, words, exam, sitting, teacher):
    with pytest.raises(NotPossible, match=words):
        codes_issue(sitting=sitting, until=in_hours(hours), who=teacher)


def test_an_end_before_the_beginning_is_refused(exam, sitting, teacher):
    sitting.starts_at = in_hours(5)

    with pytest.raises(NotPossible, match="before the sitting begins"):
        codes_issue(sitting=sitting, until=in_hours(2), who=teacher)


def test_extra_time_is_added_over_the_length_of_the_sitting(exam, sitting, teacher, sample):
    sample.candidate.extra_time_percent = 25
    sample.candidate.save()
    until = sitting.starts_at + timedelta(hours=4)

    codes_issue(sitting=sitting, until=until, who=teacher)

    ends = dict(BenchCode.objects.values_list("sample__candidate__number", "until"))
    assert ends["0071"] - until == timedelta(hours=1)
    assert ends["0072"] == until


def test_another_end_for_all_adds_extra_time_too(exam, sitting, teacher, sample, candidate):
    sample.candidate.extra_time_percent = 50
    sample.candidate.save()
    until = sitting.starts_at + timedelta(hours=6)

    time_set(sitting=sitting, until=until, who=teacher)

    candidate.refresh_from_db()
    assert candidate.until - until == timedelta(hours=3)


def test_minutes_given_back_outlast_a_new_code_and_another_end_for_all(exam, sitting, teacher, sample, candidate):
    note(sitting=sitting, kind="time given back", minutes=10, words="fire alarm", who=teacher)
    candidate.refresh_from_db()
    before = candidate.until
    assert end_now(sitting) == before - timedelta(minutes=10)
    (slip,) = codes_issue(sitting=sitting, until=end_now(sitting), who=teacher, samples=[sample])
    assert slip.until == before

    until = in_hours(1)
    time_set(sitting=sitting, until=until, who=teacher)
    assert BenchCode.objects.get(sample=sample, ended_at=None).until == until + timedelta(minutes=10)


def test_the_end_of_a_sitting_is_that_of_those_without_extra_time(exam, sitting, teacher, sample):
    assert end_now(sitting) is None
    sample.candidate.extra_time_percent = 25
    sample.candidate.save()
    until = in_hours()
    slips_of(exam, teacher, until)

    assert end_now(sitting) == until


def test_another_end_needs_somebody_who_writes(exam, sitting, teacher):
    with pytest.raises(NotPossible, match="open code"):
        time_set(sitting=sitting, until=in_hours(), who=teacher)


def test_the_rules_stand_once_somebody_has_begun(exam, teacher):
    assert rules_set(exam=exam, choices=True, who=teacher).choices
    let_in(exam, teacher)

    assert rules_set(exam=exam, choices=True, who=teacher).choices
    with pytest.raises(NotPossible, match="begun to write"):
        rules_set(exam=exam, choices=False, who=teacher)


def test_closing_ends_all_and_makes_the_suggestions(exam, sitting, teacher, candidate):
    write(candidate, "pale green ppt, insoluble in excess")

    assert len(sitting_close(sitting=sitting, who=teacher)) == 4

    assert Record.objects.get().paper["parts"]
    with pytest.raises(Closed, match="closed this page"):
        write(candidate, "blue", version=1)
    with pytest.raises(NotPossible, match="already"):
        sitting_close(sitting=sitting, who=teacher)


def test_an_exam_is_not_sat_while_somebody_can_write(exam, sitting, teacher, candidate):
    rest_present(sitting=sitting, who=teacher)
    assert "open for 4 candidates of the sitting “Morning”" in still_missing(exam)[0]

    sitting_close(sitting=sitting, who=teacher)
    assert exam_move(exam=exam, to=State.SAT, who=teacher).state == State.SAT


@pytest.mark.parametrize("typed", [str.lower, lambda code: f" {code[:5]}-{code[5:]} ", lambda code: " ".join(code)])
def test_a_code_is_read_in_any_case_and_with_any_spaces(typed):
    code = new_code()

    assert read_one_time(typed(code)) == code


@pytest.mark.parametrize("typed", ["", "CDFHJ", "AAAAAAAAAA", "CDFHJKMNPR" * 2, "0", "\N{SNOWMAN}" * 10])
def test_a_slip_in_a_code_is_told(typed):
    with pytest.raises(NoSuchCode, match="slip"):
        read_one_time(typed)


# writing

def test_words_are_kept_as_they_came_and_as_those_of_the_candidate(candidate):
    line = write(candidate, "  wht ppt,\r\n<b>sol.</b> in xs \0")
    record = line.record

    assert line.observation == "  wht ppt,\n<b>sol.</b> in xs \N{SYMBOL FOR NULL}"
    record.refresh_from_db()
    assert (record.way, record.entered_by, record.paper) == (Way.BENCH, None, {})


def test_every_earlier_version_stands_in_the_trail_without_a_name(exam, candidate):
    write(candidate, "white")
    write(candidate, "blue", version=1)

    entries = AuditEntry.objects.filter(what="record entered").order_by("sequence")
    assert [entry.detail["observation"] for entry in entries] == [["", "white"], ["white", "blue"]]
    assert {entry.who for entry in entries} == {f"candidate at the bench, {candidate.sample.code}"}
    assert audit.verify(exam.centre) == []


def test_the_same_words_sent_twice_are_one_save(candidate):
    write(candidate, "white")

    assert write(candidate, "white", version=0).version == 1
    assert AuditEntry.objects.filter(what="record entered").count() == 1


def test_a_line_written_in_another_window_is_not_overwritten_unseen(candidate):
    write(candidate, "white")

    with pytest.raises(ChangedMeanwhile) as caught:
        write(candidate, "blue", version=0)
    assert caught.value.theirs.observation == "white"
    assert RecordLine.objects.get().observation == "white"


def test_the_result_is_kept(candidate):
    record = bench_result_save(code=candidate, cation=" Ni2+ ", anion="chloride", version=0)

    assert (record.cation, record.anion, record.version) == ("Ni2+", "chloride", 1)


def test_after_the_time_nothing_is_written(candidate):
    BenchCode.objects.update(until=timezone.now() - timedelta(seconds=1))

    with pytest.raises(Closed, match="time is over"):
        write(candidate, "late")
    assert not RecordLine.objects.exists()


def test_more_time_opens_the_page_again(sitting, teacher, candidate):
    BenchCode.objects.update(until=timezone.now() - timedelta(seconds=1))
    time_set(sitting=sitting, until=in_hours(), who=teacher)

    assert write(candidate, "in time").version == 1


def test_once_the_sittings_are_over_nothing_is_written(exam, candidate):
    exam.state = State.SAT
    exam.save()

    with pytest.raises(Closed, match="sittings of this exam are over"):
        write(candidate, "late")


def test_handing_in_closes_the_page_and_makes_the_suggestions(candidate):
    write(candidate, "pale green ppt")
    bench_hand_in(code=candidate)

    assert Record.objects.get().paper["parts"]
    with pytest.raises(Closed, match="handed in"):
        write(candidate, "blue", version=1)


def test_a_blank_record_can_be_handed_in(candidate):
    assert bench_hand_in(code=candidate).paper["parts"]


def test_a_record_that_is_marked_cannot_be_written(candidate):
    write(candidate, "white")
    Record.objects.update(finished=True)

    with pytest.raises(NotPossible, match="marked already"):
        write(candidate, "blue", version=1)


def test_the_draw_cannot_be_undone_once_something_is_written(exam, teacher, candidate):
    write(candidate, "white")
    exam.state = State.DRAWN
    exam.save()

    with pytest.raises(Exception, match="Records have been entered"):
        exam_move(exam=exam, to=State.DRAFT, who=teacher, reason="a mistake")


def test_no_save_lands_after_the_exam_was_sat_while_it_waited(candidate, exam, monkeypatch):
    def sat_meanwhile(held):
        held = locked(held)
        type(held).objects.filter(pk=held.pk).update(state=State.SAT)
        return held

    assert candidate.sample.exam.state == State.PREPARED
    monkeypatch.setattr("grading.entry.bench.writing.locked", sat_meanwhile)

    with pytest.raises(Closed, match="over"):
        write(candidate, "green precipitate")
    assert not RecordLine.objects.exists()
