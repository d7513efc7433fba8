"""Awards: by the examiner's act, within the marks, with a reason where they differ, all in the trail."""

import pytest

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.models import AuditEntry
from grading.errors import NoSuchMark, NotPossible, ReasonNeeded
from grading.marking import awarding, services
from grading.marking.parts import stored
from grading.models import Award, Record

pytestmark = pytest.mark.database

PART = "group-3b.observation"


def part_of(sample, key=PART):
    return stored(Record.objects.get(sample=sample).paper).part(key)


def give(sample, who, steps, *, part=PART, reason="", version=0, stamp=None):
    stamp = part_of(sample, part).stamp if stamp is None else stamp
    return awarding.award_set(
        sample=sample, part=part, steps=steps, reason=reason, version=version, stamp=stamp, who=who
    )


def accept_all(sample, who):
    digest = stored(Record.objects.get(sample=sample).paper).digest
    return awarding.awards_accept_sure(sample=sample, digest=digest, who=who)


def test_the_suggested_mark_becomes_an_award_by_the_examiners_act(entered, examiner):
    award = give(entered, examiner, 2)

    assert (award.steps, award.out_of_steps, award.suggested_steps, award.by) == (2, 2, 2, examiner)
    assert award.suggestion["mark_scheme"] == "common" and award.suggestion["reason"]


def test_every_award_is_in_the_trail_with_from_to_and_why(entered, examiner):
    give(entered, examiner, 2)
    give(entered, examiner, 0, version=1, reason="written over")

    first, second = AuditEntry.objects.filter(what__startswith="mark").order_by("sequence")
    assert (first.what, first.detail["from"], first.detail["to"], first.detail["why"]) == (
        "mark given",
        None,
        2,
        "as suggested",
    )
    assert (second.what, second.detail["from"], second.detail["to"], second.detail["why"]) == (
        "mark changed",
        2,
        0,
        "written over",
    )
    assert audit.verify(entered.exam.centre) == []


def test_another_mark_than_the_suggested_needs_a_reason(entered, examiner):
    with pytest.raises(ReasonNeeded):
        give(entered, examiner, 0, reason="   ")
    assert not Award.objects.exists()


def test_a_mark_above_the_full_marks_is_refused(entered, examiner):
    with pytest.raises(NoSuchMark):
        give(entered, examiner, 3, reason="splendid")


def test_a_mark_below_zero_is_refused(entered, examiner):
    with pytest.raises(NoSuchMark):
        give(entered, examiner, -1, reason="dreadful")


def test_a_part_that_is_not_there_is_refused(entered, examiner):
    with pytest.raises(NoSuchMark, match="no part"):
        give(entered, examiner, 0, part="flame.smell", stamp="")


def test_nothing_is_awarded_where_nothing_was_entered(sample, examiner):
    with pytest.raises(NotPossible, match="Nothing has been entered"):
        awarding.awards_accept_sure(sample=sample, digest="", who=examiner)


def test_a_mark_given_twice_is_one_award(entered, examiner):
    give(entered, examiner, 2)
    give(entered, examiner, 2)

    assert Award.objects.get().version == 1


def test_two_examiners_on_one_part_see_each_others_mark(entered, examiner, moderator):
    give(entered, examiner, 2)

    with pytest.raises(ChangedMeanwhile) as refused:
        give(entered, moderator, 0, reason="smudged", version=0)
    assert refused.value.theirs.steps == 2


def test_words_that_changed_since_the_page_was_shown_are_not_marked_unseen(entered, examiner):
    stamp = part_of(entered).stamp
    services.line_save(
        sample=entered, test="group-3b", observation="white ppt", inference="", version=1, who=examiner
    )

    with pytest.raises(ChangedMeanwhile, match="changed since"):
        give(entered, examiner, 2, stamp=stamp)


def test_all_sure_suggestions_are_one_act_and_one_entry(entered, examiner):
    services.line_save(
        sample=entered, test="flame", observation="wibble", inference="", version=1, who=examiner
    )
    before = AuditEntry.objects.count()

    awards = accept_all(entered, examiner)

    parts = {award.part for award in awards}
    assert PART in parts and "flame.observation" not in parts
    assert AuditEntry.objects.count() == before + 1
    assert len(AuditEntry.objects.last().detail["marks"]) == len(awards)


def test_accepting_all_leaves_marks_that_were_given_alone(entered, examiner):
    give(entered, examiner, 0, reason="written over")

    accept_all(entered, examiner)

    assert Award.objects.get(part=PART).steps == 0


def test_accepting_all_is_refused_when_the_record_changed_since(entered, examiner):
    digest = stored(Record.objects.get(sample=entered).paper).digest
    services.line_save(
        sample=entered, test="naoh", observation="white ppt", inference="", version=1, who=examiner
    )

    with pytest.raises(ChangedMeanwhile):
        awarding.awards_accept_sure(sample=entered, digest=digest, who=examiner)
    assert not Award.objects.exists()


def test_saving_words_never_makes_or_changes_a_mark(entered, examiner):
    give(entered, examiner, 2)

    services.line_save(
        sample=entered, test="group-3b", observation="white ppt", inference="", version=1, who=examiner
    )

    assert Award.objects.get().steps == 2


def test_reading_again_never_makes_or_changes_a_mark(entered, examiner):
    services.suggestions_renew(sample=entered, who=examiner)

    assert not Award.objects.exists()
