"""Another mark scheme for an exam: whose marks would change is seen first, then it is done with a reason."""

import pytest
from django.urls import reverse

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.models import AuditEntry, Exam, State
from grading.errors import GradingError, NotPossible, ReasonNeeded
from grading.marking.awarding import award_set, awards_accept_sure
from grading.marking.parts import stored
from grading.marking.selectors import part_views, record_of, still_unmarked
from grading.marking.services import exam_hand_over, record_absent, record_finish
from grading.models import Award, Record
from grading.schemes.selectors import digest, effects
from grading.schemes.services import mark_scheme_apply
from tests.marking.exams import CANDIDATES, enter, enter_line, sample_of

pytestmark = pytest.mark.database


@pytest.fixture
def entered(sample, examiner):
    enter(sample, examiner)
    return sample


def apply(exam, key, who, seen=None, reason="agreed by the department"):
    exam.refresh_from_db()
    seen = digest(exam, key, effects(exam, key)) if seen is None else seen
    return mark_scheme_apply(exam=exam, key=key, seen=seen, reason=reason, who=who)


def mark(sample, who):
    """Give every part of a record its suggested mark, and close it."""
    paper = stored(Record.objects.get(sample=sample).paper)
    awards_accept_sure(sample=sample, digest=paper.digest, who=who)
    for part in paper.unsure:
        award_set(sample=sample, part=part.key, steps=part.steps, reason="", version=0, stamp=part.stamp, who=who)
    record_finish(sample=sample, who=who)


def doubled(ours, **more):
    """The school's mark scheme, with twice the marks for the result."""
    ours.data["marking"] |= {"result": {"cation": 8, "anion": 8}} | more
    ours.version += 1
    ours.save()
    return ours.key


def test_the_effects_are_told_by_sample_code(exam, entered, ours):
    (effect,) = effects(exam, doubled(ours))

    assert (effect.code, effect.then.out_of - effect.before.out_of, effect.parts) == (entered.code, 8, 2)
    assert effect.changes


def test_the_same_rules_under_another_name_change_nothing(exam, entered, ours):
    (effect,) = effects(exam, ours.key)

    assert (effect.parts, effect.lost, effect.changes) == (0, 0, False)


def test_looking_at_the_effects_changes_nothing(exam, entered, ours):
    before = list(Record.objects.values()), AuditEntry.objects.count()
    effects(exam, doubled(ours))

    assert (list(Record.objects.values()), AuditEntry.objects.count()) == before


def test_records_without_words_and_absent_ones_have_no_effects(exam, entered, ours, examiner):
    record_absent(sample=sample_of(exam, "0072"), reason="was ill that day", who=examiner)

    assert [effect.code for effect in effects(exam, ours.key)] == [entered.code]


def test_applying_makes_the_suggestions_anew_and_the_trail_says_whose(exam, entered, ours, teacher):
    apply(exam, doubled(ours), teacher)

    exam.refresh_from_db()
    paper = stored(Record.objects.get().paper)
    assert (exam.mark_scheme, paper.mark_scheme, paper.part("result.cation").out_of) == (ours.key, ours.key, 8)
    detail = AuditEntry.objects.get(what="mark scheme changed").detail
    assert (detail["from"], detail["to"], detail["reason"]) == ("common", ours.key, "agreed by the department")
    assert list(detail["marks"]) == [entered.code]
    assert audit.verify(exam.centre) == []


def test_marks_that_still_say_the_same_go_on_counting(exam, entered, ours, teacher, examiner):
    mark(entered, examiner)
    before = Award.objects.count()
    apply(exam, ours.key, teacher)

    record = record_of(entered)
    assert (Award.objects.count(), record.finished, still_unmarked(record)) == (before, True, [])


def test_marks_that_no_longer_fit_are_given_again_by_an_examiner(exam, entered, ours, teacher, examiner):
    mark(entered, examiner)
    (effect,) = effects(exam, doubled(ours))
    assert (effect.lost, effect.finished, effect.opens) == (2, True, True)
    apply(exam, ours.key, teacher)

    record = record_of(entered)
    assert [part.key for part in still_unmarked(record)] == ["result.cation", "result.anion"]
    assert not record.finished
    assert AuditEntry.objects.get(what="mark scheme changed").detail["opened"] == [entered.code]


def test_a_finished_record_that_gets_a_part_without_a_mark_is_told_to_open_again(
        exam, entered, ours, teacher, examiner):
    ours.data["marking"]["lines"]["stages"]["dry"]["inference"] = 0
    ours.save()
    apply(exam, ours.key, teacher)
    mark(entered, examiner)
    exam.refresh_from_db()
    (effect,) = effects(exam, "common")
    assert (effect.lost, effect.opens, effect.changes) == (0, True, True)

    apply(exam, "common", teacher)
    assert not record_of(entered).finished


def test_no_suggestion_becomes_a_mark_by_it(exam, entered, ours, teacher):
    apply(exam, doubled(ours), teacher)

    assert not Award.objects.exists()


def test_marks_of_another_size_never_pass_for_those_of_today(exam, entered, ours, teacher, examiner):
    mark(entered, examiner)
    count = Award.objects.count()
    key = doubled(ours, result={"cation": 4, "anion": 4}, step_marks="1")  # the same steps, twice the marks
    apply(exam, key, teacher)

    views = part_views(record_of(entered))
    assert len(views) == count
    assert not any(view.current for view in views)


def in_whole_marks(ours):
    """The school's mark scheme, with the same marks counted in whole ones."""
    marking = ours.data["marking"]
    lines = {"stages": {stage: {part: steps // 2 for part, steps in line.items()}
                        for stage, line in marking["lines"]["stages"].items()}, "tests": {}}
    return doubled(ours, lines=lines, step_marks="1", result={"cation": 2, "anion": 2})


def test_the_same_marks_in_other_steps_change_nothing(exam, sample, examiner, ours, teacher):
    enter(sample, examiner, lines={"appearance": ("green crystals, damp", "")})
    mark(sample, examiner)
    key = in_whole_marks(ours)
    (effect,) = effects(exam, key)
    assert (effect.parts, effect.lost, effect.opens, str(effect.before)) == (0, 0, False, str(effect.then))
    before, when = str(effect.before), list(Award.objects.values_list("part", "at", "by"))
    apply(exam, key, teacher)

    record = record_of(sample)
    assert (still_unmarked(record), record.finished) == ([], True)
    assert {award.suggestion["step_marks"] for award in Award.objects.all()} == {"1"}
    assert list(Award.objects.values_list("part", "at", "by")) == when, "no examiner did anything"
    given = stored(record.paper).given({award.part: award.steps for award in Award.objects.all()})
    assert f"{sum(given.values())}/{stored(record.paper).out_of}" == before


def test_a_half_mark_that_was_given_is_given_again_where_only_whole_ones_are_counted(exam, sample, examiner, ours,
                                                                                     teacher):
    enter(sample, examiner, lines={"appearance": ("green crystals, damp", "")})
    mark(sample, examiner)
    award = Award.objects.get(part="appearance.observation")
    award.steps -= 1
    award.save()
    apply(exam, in_whole_marks(ours), teacher)

    assert [part.key for part in still_unmarked(record_of(sample))] == ["appearance.observation"]
    assert not record_of(sample).finished


def test_an_exam_that_was_handed_over_goes_back_to_marking(exam, ours, teacher, examiner):
    for number, *_rest in CANDIDATES:
        enter(sample_of(exam, number), examiner)
        mark(sample_of(exam, number), examiner)
    exam_hand_over(exam=exam, who=examiner)
    apply(exam, doubled(ours), teacher)

    exam.refresh_from_db()
    assert exam.state == State.SAT


@pytest.mark.parametrize("state", [State.DRAWN, State.PREPARED])
def test_before_the_day_it_is_changed_without_any_effect(state, exam, ours, teacher):
    Exam.objects.filter(pk=exam.pk).update(state=state)

    assert apply(exam, ours.key, teacher) == []
    exam.refresh_from_db()
    assert exam.mark_scheme == ours.key


@pytest.mark.parametrize(("state", "words"), [(State.DRAFT, "is a draft"), (State.RELEASED, "Withdraw the release")])
def test_a_draft_and_a_released_exam_are_refused(state, words, exam, ours, teacher):
    Exam.objects.filter(pk=exam.pk).update(state=state)

    with pytest.raises(NotPossible, match=words):
        apply(exam, ours.key, teacher)


def test_effects_that_are_not_those_that_were_shown_are_refused(exam, entered, ours, teacher, examiner):
    seen = digest(exam, ours.key, effects(exam, ours.key))
    enter_line(entered, examiner, "flame", "golden yellow flame", version=1)

    with pytest.raises(ChangedMeanwhile, match="Look at them again"):
        apply(exam, ours.key, teacher, seen=seen)


def test_rules_that_changed_since_they_were_shown_are_refused(exam, entered, ours, teacher):
    seen = digest(exam, ours.key, effects(exam, ours.key))
    doubled(ours)

    with pytest.raises(ChangedMeanwhile):
        apply(exam, ours.key, teacher, seen=seen)


def test_without_a_reason_nothing_is_done(exam, entered, ours, teacher):
    with pytest.raises(ReasonNeeded):
        apply(exam, ours.key, teacher, reason="  ")


def test_a_mark_scheme_that_is_not_there_or_that_the_exam_has_is_refused(exam, teacher):
    with pytest.raises(GradingError, match="No mark scheme is called"):
        mark_scheme_apply(exam=exam, key="no such", seen="", reason="because", who=teacher)
    with pytest.raises(NotPossible, match="already"):
        mark_scheme_apply(exam=exam, key="common", seen="", reason="because", who=teacher)


# the page

def test_the_page_shows_the_effects_and_neither_name_nor_salt(exam, entered, ours, teacher, as_user):
    doubled(ours)
    page = as_user(teacher).get(reverse("remarking:exam", args=[exam.pk]), {"to": ours.key}).content.decode()

    assert "1 of 1 record would have other suggestions" in page
    assert "Nothing is done yet." in page
    assert f"{entered.code[:3]} {entered.code[3:]}" in page
    assert "Äpfelwein" not in page
    assert "NiCl2" not in page


def test_those_whose_marks_change_stand_first(exam, ours, teacher, as_user, examiner):
    *others, last = exam.samples.select_related("exam__centre").order_by("code")
    for each in others:
        enter_line(each, examiner, "flame", "crimson flame")
    enter_line(last, examiner, "solubility", "dissolves in cold water")
    ours.data["marking"]["observation"]["levels"]["colour_missing"] = "0"
    ours.save()
    found = as_user(teacher).get(reverse("remarking:exam", args=[exam.pk]), {"to": ours.key}).context["effects"]

    assert [effect.changes for effect in found] == [True, False, False, False]
    assert [effect.code for effect in found] == [last.code, *(each.code for each in others)]


@pytest.mark.parametrize("to", ["no such", "common", "\x00", "x" * 300])
def test_a_mark_scheme_that_cannot_be_had_is_told_on_the_page(to, exam, entered, teacher, as_user):
    answer = as_user(teacher).get(reverse("remarking:exam", args=[exam.pk]), {"to": to}, follow=True)

    assert answer.status_code == 200
    assert answer.context["messages"]


def test_without_a_reason_the_page_asks_for_one(exam, entered, ours, teacher, as_user):
    answer = as_user(teacher).post(reverse("remarking:apply", args=[exam.pk]), {"to": ours.key, "seen": "x"}, follow=True)

    assert "Say why" in answer.content.decode()
    exam.refresh_from_db()
    assert exam.mark_scheme == "common"


def test_a_stale_page_changes_nothing(exam, entered, ours, teacher, as_user):
    data = {"to": ours.key, "seen": "x", "reason": "because"}
    answer = as_user(teacher).post(reverse("remarking:apply", args=[exam.pk]), data, follow=True)

    assert "Look at them again" in answer.content.decode()
    exam.refresh_from_db()
    assert exam.mark_scheme == "common"


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_from_a_copy_to_an_exam_marked_by_it_in_the_browser(exam, entered, teacher, examiner, open_page, no_barriers,
                                                            look, width):
    mark(entered, examiner)
    page = open_page(teacher, color_scheme=look, viewport={"width": width, "height": 900})
    page.goto(reverse("own:index"))
    page.get_by_role("link", name="Copy a mark scheme").click()
    page.fill("[name=title]", "Ours")
    page.fill("[name=why]", "agreed in June")
    no_barriers(page)
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Copied.").wait_for()
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.fill("[name=result-cation]", "1.3")
    page.get_by_role("button", name="Save").click()
    page.locator("#problems").wait_for()
    no_barriers(page)
    page.fill("[name=result-cation]", "4")
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Saved. It counts from now on").wait_for()

    page.goto(reverse("planning:exam", args=[exam.pk]))
    page.get_by_role("link", name="Another one").click()
    page.select_option("#to", label="Ours")
    page.get_by_role("button", name="Show whose marks would change").click()
    page.get_by_text("finished; would be opened again").wait_for()
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.fill("[name=reason]", "agreed by the department")
    page.get_by_role("button", name="Mark the exam by it").click()
    page.get_by_text("The exam is marked by “Ours” now").wait_for()
    assert not Record.objects.get().finished
