"""Entering records: what is kept, and everything that is refused without losing a word."""

import pytest

from examkit.errors import ChangedMeanwhile
from examkit.models import AuditEntry, ExpectedRecord, State
from grading.errors import GradingError, NotPossible, ReasonNeeded
from grading.marking import services
from grading.marking.parts import stored
from grading.models import Award, Record, RecordLine
from tests.marking import exams

pytestmark = pytest.mark.database


def save(sample, who, observation="black ppt", version=0, test="group-3b", inference=""):
    return services.line_save(
        sample=sample, test=test, observation=observation, inference=inference, version=version, who=who
    )


def suggestions(sample):
    return stored(Record.objects.get(sample=sample).paper)


def test_a_line_is_kept_as_written(sample, examiner):
    line = save(sample, examiner, "  blk ppt\nthen ✓ <b>", inference="Ni²⁺")

    assert RecordLine.objects.get(pk=line.pk).observation == "  blk ppt\nthen ✓ <b>"
    assert line.version == 1


def test_suggestions_are_stored_with_edition_and_mark_scheme_and_are_no_marks(sample, examiner):
    save(sample, examiner)

    found = suggestions(sample)
    assert (found.mark_scheme, found.step_marks) == ("common", "0.5")
    assert found.edition == ExpectedRecord.objects.get(exam=sample.exam, salt=sample.salt).edition
    assert found.part("group-3b.observation").steps == 2
    assert not Award.objects.exists()


def test_suggestions_follow_every_save(sample, examiner):
    save(sample, examiner, "no ppt")
    assert suggestions(sample).part("group-3b.observation").steps == 0

    save(sample, examiner, "black ppt", version=1)
    assert suggestions(sample).part("group-3b.observation").steps == 2


def test_marking_reads_the_frozen_expected_record(sample, examiner):
    frozen = ExpectedRecord.objects.get(exam=sample.exam, salt=sample.salt)
    line = next(line for line in frozen.record["lines"] if line["test"] == "group-3b")
    line["seen"][0]["colours"] = ["pink"]
    frozen.edition = "e" * 64
    frozen.save()

    save(sample, examiner, "pink ppt")

    assert suggestions(sample).part("group-3b.observation").steps == 2
    assert suggestions(sample).edition == "e" * 64


def test_words_that_cannot_be_read_are_kept_and_go_to_a_person(sample, examiner):
    save(sample, examiner, "wibble wobble")

    part = suggestions(sample).part("group-3b.observation")
    assert not part.sure and part.doubts and part.written == "wibble wobble"


def test_the_result_has_a_version_of_its_own(sample, examiner):
    save(sample, examiner)

    record = services.result_save(sample=sample, cation="Ni2+", anion="", version=0, who=examiner)
    assert (record.cation, record.version) == ("Ni2+", 1)


def test_every_change_of_a_record_is_in_the_trail_by_code(sample, examiner):
    save(sample, examiner)
    save(sample, examiner, "black", version=1)

    entry = AuditEntry.objects.last()
    assert (entry.what, entry.who) == ("record entered", "examiner")
    assert entry.detail == {"observation": ["black ppt", "black"]}
    assert sample.code in entry.about and "0071" not in entry.about and "Zoë" not in entry.about


def test_the_same_words_sent_twice_are_saved_once(sample, examiner):
    save(sample, examiner)
    again = save(sample, examiner)

    assert again.version == 1
    assert AuditEntry.objects.filter(what="record entered").count() == 1


def test_a_stale_save_is_refused_and_shows_the_other_version(sample, examiner, moderator):
    save(sample, examiner, "black ppt")

    with pytest.raises(ChangedMeanwhile) as refused:
        save(sample, moderator, "white ppt", version=0)

    assert refused.value.theirs.observation == "black ppt"
    assert RecordLine.objects.get().observation == "black ppt"


def test_two_lines_of_one_record_do_not_stand_in_each_others_way(sample, examiner, moderator):
    save(sample, examiner, test="flame")
    save(sample, moderator, test="naoh")

    assert RecordLine.objects.count() == 2


def test_a_blank_record_can_be_handed_in(sample, examiner):
    services.record_enter(sample=sample, who=examiner)

    assert all(part.steps == 0 and part.sure for part in suggestions(sample).parts)


def test_nothing_is_entered_before_the_exam_was_sat(cast, examiner):
    exam = exams.sat_exam(cast.centre, state=State.PREPARED)

    with pytest.raises(NotPossible, match="prepared"):
        save(exams.sample_of(exam, "0071"), examiner)
    assert not Record.objects.exists()


def test_nothing_is_entered_once_the_record_is_finished(entered, examiner):
    Record.objects.filter(sample=entered).update(finished=True)

    with pytest.raises(NotPossible, match="finished"):
        save(entered, examiner, version=1)


def test_an_exam_without_frozen_records_is_refused_in_words(sample, examiner):
    ExpectedRecord.objects.all().delete()

    with pytest.raises(GradingError, match="froze no expected record"):
        save(sample, examiner)
    assert not Record.objects.exists()


def test_a_sample_without_a_record_is_closed_with_a_reason(sample, examiner):
    services.record_absent(sample=sample, reason="ill on the day", who=examiner)

    record = Record.objects.get()
    assert (record.absent, record.finished) == (True, True)
    assert AuditEntry.objects.last().detail == {"reason": "ill on the day"}


def test_closing_without_a_record_needs_a_reason(sample, examiner):
    with pytest.raises(ReasonNeeded):
        services.record_absent(sample=sample, reason="  ", who=examiner)


def test_a_record_with_words_is_not_closed_as_not_handed_in(entered, examiner):
    with pytest.raises(NotPossible, match="has been entered"):
        services.record_absent(sample=entered, reason="ill", who=examiner)


def test_reading_again_keeps_the_expected_record_and_is_in_the_trail(entered, examiner):
    services.suggestions_renew(sample=entered, who=examiner)

    assert AuditEntry.objects.last().what == "suggestions renewed"


@pytest.mark.parametrize(
    "words", ["\0 black", "é" * 4000, "\u202eblack", "=1+1", "<script>alert(1)</script>", "\r\n"]
)
def test_no_words_of_a_candidate_break_the_entry(sample, examiner, words):
    line = save(sample, examiner, words)

    assert line.observation == words.replace("\0", "␀").replace("\r\n", "\n")
