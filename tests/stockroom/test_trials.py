"""Bottles tried on the scheme: what differs is settled by setting aside or by amending, and marking reads that."""

import pytest
from django.urls import reverse

from examkit.audit import verify
from examkit.errors import ChangedMeanwhile, Refused
from examkit.models import AuditEntry, ExpectedRecord, State, Trial
from examkit.planning.services import exam_move
from examkit.stockroom.conditions import before_prepared, before_sign_off
from examkit.stockroom.signing import sign_off
from examkit.stockroom.trials.amended import amended
from examkit.stockroom.trials.selectors import frozen_for, missing_trials, trial_row
from examkit.stockroom.trials.services import (
    amend,
    amend_undo,
    set_aside,
    trial_open,
    trial_see,
    use_again,
)
from examkit.stockroom.tubes.selectors import fillings, salt_page
from examkit.stockroom.tubes.services import tube_fill, tubes_fill_rest, tubes_fill_undo
from tests.stockroom.drawn import drawn_exam
from tests.stockroom.test_services import tick_all
from tests.stockroom.tried import all_tried, bottle, try_as_expected

pytestmark = pytest.mark.django_db
NICKEL = "NiCl2.6H2O"
BLUE = [{"step": "drops", "event": "precipitate", "colours": ["blue"]}]


@pytest.fixture
def trial(exam, assistant):
    """A bottle of nickel chloride whose trial has begun."""
    return trial_open(exam=exam, who=assistant, salt=NICKEL,
                      bottle=bottle(exam, assistant, NICKEL, lot="L 17", grade="pure"))


def differs(trial, who, test="naoh"):
    try_as_expected(trial, who, but=(test,))
    trial_see(trial=trial, who=who, test=test, agrees=False, seen="blue precipitate", version=0)


def test_every_test_that_the_salt_comes_to_is_to_be_tried(trial, exam):
    row = trial_row(trial)
    done = [line["test"] for line in exam.expected.get(salt=NICKEL).record["lines"] if line["done"]]

    assert [line.test for line in row.lines] == done
    assert row.left == len(done) > 10
    assert trial.named == "lot L 17, pure"
    assert not row.usable


def test_a_bottle_that_is_as_expected_everywhere_may_be_used(trial, assistant):
    try_as_expected(trial, assistant)

    assert trial_row(trial).usable
    assert AuditEntry.objects.filter(what="bottle tried").count() == len(trial_row(trial).lines)


def test_what_differs_needs_words_and_is_not_settled_by_them(trial, assistant):
    with pytest.raises(Refused, match="Say what you saw"):
        trial_see(trial=trial, who=assistant, test="naoh", agrees=False, version=0)
    differs(trial, assistant)

    assert (trial_row(trial).differing, trial_row(trial).usable) == (1, False)


def test_two_who_note_the_same_test_do_not_overwrite_each_other(trial, assistant, teacher):
    trial_see(trial=trial, who=teacher, test="naoh", agrees=True, version=0)

    with pytest.raises(ChangedMeanwhile, match="Tilda Marsh noted this"):
        trial_see(trial=trial, who=assistant, test="naoh", agrees=False, seen="blue", version=0)


def test_a_test_that_the_salt_does_not_come_to_cannot_be_noted(trial, assistant):
    with pytest.raises(Refused, match="does not come to that test"):
        trial_see(trial=trial, who=assistant, test="no-such-test", agrees=True, version=0)


def test_an_amendment_settles_and_is_frozen_for_this_bottle_only(trial, exam, assistant):
    differs(trial, assistant)
    amend(trial=trial, who=assistant, test="naoh", facet="tube", seen=BLUE, why="this lot holds cobalt")
    trial.refresh_from_db()
    line = next(line for line in trial.record["lines"] if line["test"] == "naoh")

    assert trial_row(trial).usable
    assert line["also_accepted"][-1]["text"] == "blue precipitate"
    assert "this lot holds cobalt" in line["also_accepted"][-1]["sources"][0]
    assert trial.edition == exam.edition
    shipped = ExpectedRecord.objects.get(exam=exam, salt=NICKEL).record
    assert trial.record != shipped
    assert "this lot" not in str(shipped)
    assert verify(exam.centre) == []


def test_what_is_amended_changes_no_inference(trial, assistant, exam):
    differs(trial, assistant)
    amend(trial=trial, who=assistant, test="naoh", facet="tube", seen=BLUE, why="this lot holds cobalt")
    trial.refresh_from_db()
    before = exam.expected.get(salt=NICKEL).record

    for old, new in zip(before["lines"], trial.record["lines"], strict=True):
        assert {key: old[key] for key in old if key != "also_accepted"} == {
            key: new[key] for key in new if key != "also_accepted"}


@pytest.mark.parametrize(("facet", "seen", "why", "words"), [
    ("tube", BLUE, "", "reason in words"),
    ("bead", BLUE, "seen by all of us", "nothing of that kind"),
    ("tube", [{"step": "drops", "event": "precipitate", "colours": ["bleu"]}], "seen by all of us",
     "No colour words: bleu"),
])
def test_an_amendment_needs_a_reason_a_place_and_words_that_marking_knows(
        trial, assistant, facet, seen, why, words):
    differs(trial, assistant)

    with pytest.raises(Refused, match=words):
        amend(trial=trial, who=assistant, test="naoh", facet=facet, seen=seen, why=why)
    assert not trial.amendments.exists()


def test_what_is_as_expected_cannot_be_amended(trial, assistant):
    try_as_expected(trial, assistant)

    with pytest.raises(Refused, match="Note first what you saw"):
        amend(trial=trial, who=assistant, test="naoh", facet="tube", seen=BLUE, why="seen by all of us")


def test_an_amendment_is_undone_with_a_reason_and_kept(trial, assistant, teacher):
    differs(trial, assistant)
    made = amend(trial=trial, who=assistant, test="naoh", facet="tube", seen=BLUE, why="this lot holds cobalt")
    with pytest.raises(Refused, match="reason in words"):
        amend_undo(amendment=made, who=teacher, why="")
    amend_undo(amendment=made, who=teacher, why="the tube was dirty")
    trial.refresh_from_db()

    assert trial.record is None
    assert trial_row(trial).differing == 1
    assert trial.amendments.get().undone_why == "the tube was dirty"
    with pytest.raises(ChangedMeanwhile, match="already"):
        amend_undo(amendment=made, who=teacher, why="the tube was dirty")


def test_a_bottle_set_aside_is_used_no_more_and_its_tubes_are_filled_anew(exam, trial, assistant):
    all_tried(exam, assistant)
    tubes_fill_rest(trial=trial, who=assistant)
    assert missing_trials(exam) == []
    set_aside(item=trial.bottle, who=assistant, why="a blue sediment")

    said = " ".join(missing_trials(exam))
    assert "No bottle is tried on the scheme and settled of: nickel(II) chloride hexahydrate" in said
    assert "fill them anew" in said
    with pytest.raises(Refused, match="set aside: a blue sediment"):
        tubes_fill_rest(trial=Trial.objects.get(pk=trial.pk), who=assistant)
    use_again(item=trial.bottle, who=assistant, why="it was the tube")
    assert missing_trials(exam) == []


def test_the_sign_off_waits_for_a_tried_bottle_of_every_salt(exam, assistant):
    tick_all(exam, assistant)
    assert before_prepared(exam) == ["The stock room has not signed off yet."]
    Trial.objects.filter(salt=NICKEL).delete()

    with pytest.raises(Refused, match="No bottle is tried on the scheme"):
        sign_off(exam=exam, who=assistant)


def test_without_the_sign_off_nobody_moves_the_exam_on(exam, assistant, teacher):
    tick_all(exam, assistant)

    with pytest.raises(Refused, match="has not signed off"):
        exam_move(exam=exam, to=State.PREPARED, who=teacher)


def test_an_exam_taken_back_is_signed_off_anew(exam, assistant, teacher):
    tick_all(exam, assistant)
    sign_off(exam=exam, who=assistant)
    exam_move(exam=exam, to=State.DRAWN, who=teacher, reason="a bottle broke")
    exam.refresh_from_db()

    assert before_sign_off(exam) == []
    with pytest.raises(Refused, match="has not signed off"):
        exam_move(exam=exam, to=State.PREPARED, who=teacher)


def test_after_the_sign_off_every_sample_has_its_bottle_and_its_record(exam, trial, assistant):
    differs(trial, assistant)
    amend(trial=trial, who=assistant, test="naoh", facet="tube", seen=BLUE, why="this lot holds cobalt")
    tick_all(exam, assistant)
    differs_not = exam.samples.exclude(salt=NICKEL).first()
    trial.refresh_from_db()
    sign_off(exam=exam, who=assistant)

    assert frozen_for(exam.samples.get(salt=NICKEL)) == trial
    assert frozen_for(differs_not) == exam.expected.get(salt=differs_not.salt)
    assert not exam.samples.filter(tube=None).exists()


def test_where_two_bottles_are_in_use_each_tube_says_its_own(exam, trial, assistant):
    all_tried(exam, assistant)
    try_as_expected(trial, assistant)
    other = trial_open(exam=exam, who=assistant, salt=NICKEL, bottle=bottle(exam, assistant, NICKEL, lot="L 18"))
    try_as_expected(other, assistant)

    assert "More than one bottle is in use" in missing_trials(exam)[0]
    tubes_fill_rest(trial=other, who=assistant)
    assert missing_trials(exam) == []


def test_a_salt_that_was_not_drawn_or_another_bottle_cannot_be_tried(exam, assistant):
    with pytest.raises(Refused, match="not drawn"):
        trial_open(exam=exam, who=assistant, salt="NaCl", bottle=None)
    with pytest.raises(Refused, match="not taken from that bottle"):
        trial_open(exam=exam, who=assistant, salt=NICKEL, bottle=bottle(exam, assistant, "KBr"))


def test_nothing_is_tried_before_the_draw_or_after_the_sign_off(exam, trial, assistant):
    exam.state = State.PREPARED
    trial.exam.state = State.PREPARED

    with pytest.raises(Refused, match="signed off"):
        trial_see(trial=trial, who=assistant, test="naoh", agrees=True, version=0)


def test_an_amended_record_leaves_the_one_it_came_from_alone():
    record = {"lines": [{"test": "flame", "done": True, "also_accepted": []}]}
    item = {"test": "flame", "facet": "flame", "text": "green flame", "seen": [{"event": "flame"}], "source": "x"}
    new = amended(record, [item])

    assert record["lines"][0]["also_accepted"] == []
    assert new["lines"][0]["also_accepted"][0]["seen"] == [{"event": "flame", "facet": "flame"}]


def test_a_mixture_is_tried_as_it_is_packed_from_the_bottles_of_its_salts(centre, assistant):
    mixture = "KBr + ZnSO4.7H2O"
    exam = drawn_exam(centre, candidates=2, salts=(mixture, "NaCl"), name="Mixtures")
    with pytest.raises(Refused, match="Put its bottle on the shelf"):
        trial_open(exam=exam, who=assistant, salt=mixture)
    bottle(exam, assistant, "KBr", lot="K 1")
    bottle(exam, assistant, "ZnSO4.7H2O", lot="Z 2")
    trial = trial_open(exam=exam, who=assistant, salt=mixture)
    try_as_expected(trial, assistant)

    assert trial.named == "lot K 1; lot Z 2"
    assert trial_open(exam=exam, who=assistant, salt=mixture) == trial
    assert salt_page(exam, mixture).trials[0].usable
    assert [row.name for row in [trial_row(trial)]] == ["potassium bromide + zinc sulfate heptahydrate"]


def test_tubes_that_were_filled_at_once_are_taken_back_whole_but_for_those_weighed_since(exam, trial, assistant):
    made = tubes_fill_rest(trial=trial, who=assistant)
    tube_fill(trial=trial, who=assistant, label=made[0], mass_g="1.5", version=1)
    (row,) = fillings(exam, NICKEL)
    given = {"exam": exam, "salt": NICKEL, "who": assistant, "number": row.entry.sequence}
    with pytest.raises(Refused, match="reason in words"):
        tubes_fill_undo(why="", **given)
    tubes_fill_undo(why="they were another bottle's", **given)

    assert row.tubes == len(made) > 1
    assert [tube.label for tube in exam.tubes.filter(salt=NICKEL)] == made[:1]
    assert AuditEntry.objects.last().detail["tubes"] == sorted(made[1:]) and verify(exam.centre) == []
    with pytest.raises(ChangedMeanwhile, match="already"):
        tubes_fill_undo(why="they were another bottle's", **given)


def test_the_page_takes_them_back_whole(exam, trial, assistant, as_user):
    tubes_fill_rest(trial=trial, who=assistant)
    page, drawn = as_user(assistant), exam.expected.get(salt=NICKEL)
    address = reverse("stockroom:salt", args=[exam.pk, drawn.pk])
    undo = reverse("stockroom:fill-undo", args=[exam.pk, drawn.pk, fillings(exam, NICKEL)[0].entry.sequence])
    assert undo in page.get(address).content.decode()

    assert undo not in page.post(undo, {"reason": "the wrong bottle"}, follow=True).content.decode()
    assert not exam.tubes.exists()
