"""Where the program is not sure, the examiner has both readings, and awards the other one by one key."""

import pytest
from django.urls import reverse
from django.utils import timezone

from grading.marking.parts import Part, _stored_part, stored
from grading.marking.selectors import AT_WORK
from grading.models import Award, Record
from grading.templatetags.marks import as_written
from tests.marking.exams import enter_line, parts

PART = "naoh.observation"
TURNED = "blue \u202eton si ti"


@pytest.fixture
def doubtful(sample, examiner):
    """A record whose first line may be read in two ways, and another that is sure."""
    enter_line(sample, examiner, "naoh", "pale green precipitate?, insoluble in excess")
    enter_line(sample, examiner, "flame", "no distinct colour")
    return sample


@pytest.fixture
def page(as_user, examiner):
    return as_user(examiner)


def part_of(sample, key=PART):
    return next(part for part in parts(sample) if part.key == key)


def url(name, sample, *more):
    return reverse(f"marking:{name}", args=[sample.exam_id, sample.code, *more])


def taken(part, other, reason=""):
    """What a browser sends that takes another reading."""
    return {f"{part.key}-marks": "", f"{part.key}-reason": reason, f"{part.key}-version": "0",
            f"{part.key}-stamp": part.stamp, "other": other}


def test_a_part_that_is_not_sure_is_stored_with_its_other_reading(doubtful):
    part = part_of(doubtful)
    ((steps, reason),) = part.other

    assert not part.sure
    assert steps != part.steps
    assert reason


def test_what_is_sure_has_no_other_reading(doubtful):
    assert all(not part.other for part in parts(doubtful) if part.sure)


def test_no_other_reading_earns_the_same(doubtful):
    assert all(steps != part.steps and 0 <= steps <= part.out_of for part in parts(doubtful) for steps, _why in part.other)


def test_suggestions_stored_before_there_were_readings_are_still_read(doubtful):
    record = Record.objects.get()
    for part in record.paper["parts"]:
        del part["other"]

    assert all(part.other == () for part in stored(record.paper).parts)


def test_readings_come_back_as_they_were_stored(doubtful):
    assert all(_stored_part(part) in parts(doubtful) for part in Record.objects.get().paper["parts"])
    assert isinstance(part_of(doubtful), Part)


def test_the_page_says_why_it_is_not_sure_and_what_the_other_reading_earns(page, doubtful):
    html = page.get(url("marks", doubtful)).content.decode()

    assert "Not sure:" in html
    assert "Otherwise 0" in html
    assert "Here the program is not sure." in html


def test_the_other_reading_is_taken_without_javascript_and_its_reason_is_kept(page, doubtful):
    part = part_of(doubtful)
    page.post(url("marks", doubtful), taken(part, f"{PART}:0"))

    award = Award.objects.get()
    assert (award.part, award.steps) == (PART, part.other[0][0])
    assert award.reason == f"Read otherwise: {part.other[0][1]}"


def test_a_reason_that_was_typed_goes_before_that_of_the_reading(page, doubtful):
    page.post(url("marks", doubtful), taken(part_of(doubtful), f"{PART}:0", "asked the candidate"))

    assert Award.objects.get().reason == "asked the candidate"


def test_a_reading_taken_after_signing_in_again_counts_too(page, doubtful):
    page.post(url("award", doubtful, PART), taken(part_of(doubtful), f"{PART}:0"))

    assert Award.objects.get().steps == part_of(doubtful).other[0][0]


@pytest.mark.parametrize("other", ["", ":", f"{PART}:9", f"{PART}:-1", f"{PART}:x", f"{PART}:²", f"{PART}:" + "9" * 400,
                                   "flame.observation:0", "\x00:0"])
def test_a_reading_that_is_not_there_awards_nothing(other, page, doubtful):
    page.post(url("award", doubtful, PART), taken(part_of(doubtful), other))

    assert not Award.objects.exists()


def test_a_reading_of_words_that_changed_since_is_refused(page, doubtful, examiner):
    sent = taken(part_of(doubtful), f"{PART}:0")
    enter_line(doubtful, examiner, "naoh", "a green precipitate?", version=1)
    html = page.post(url("award", doubtful, PART), sent).content.decode()

    assert "Look at it again" in html
    assert not Award.objects.exists()


def test_the_other_reading_is_awarded_by_one_key(doubtful, examiner, open_page, no_barriers):
    page = open_page(examiner)
    page.goto(url("marks", doubtful))
    page.focus(f"[name='{PART}-marks']")
    page.keyboard.press("o")
    page.locator("#part-naoh-observation .status").get_by_text("by Edda Fell").wait_for()

    assert Award.objects.get().steps == part_of(doubtful).other[0][0]
    assert page.evaluate("document.activeElement.name") != f"{PART}-marks"
    no_barriers(page)


def test_the_other_reading_is_awarded_by_its_button(doubtful, examiner, open_page):
    page = open_page(examiner, viewport={"width": 360, "height": 700})
    page.goto(url("marks", doubtful))
    page.locator("#part-naoh-observation .take").click()
    page.locator("#part-naoh-observation .status").get_by_text("Read otherwise").wait_for()

    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_key_does_nothing_where_there_is_one_reading(doubtful, examiner, open_page):
    page = open_page(examiner)
    page.goto(url("marks", doubtful))
    page.focus("[name='flame.observation-marks']")
    page.keyboard.press("o")

    assert page.evaluate("document.activeElement.name") == "flame.observation-marks"
    assert page.input_value("[name='flame.observation-marks']") == ""
    assert not Award.objects.exists()


def test_a_new_reason_for_the_suggested_mark_is_kept(page, doubtful):
    part = part_of(doubtful)
    page.post(url("award", doubtful, PART), taken(part, f"{PART}:0"))
    sent = taken(part, "", "asked the candidate") | {f"{PART}-marks": "1", f"{PART}-version": "1"}
    page.post(url("award", doubtful, PART), sent)
    assert (Award.objects.get().steps, Award.objects.get().reason) == (part.steps, "asked the candidate")

    page.post(url("award", doubtful, PART), taken(part, f"{PART}:0", "no, blue") | {f"{PART}-version": "2"})
    back = taken(part, "", "no, blue") | {"accept": PART, f"{PART}-version": "3"}
    page.post(url("award", doubtful, PART), back)
    assert (Award.objects.get().steps, Award.objects.get().reason) == (part.steps, "")


# two examiners

def test_who_marks_beside_another_examiner_is_told(page, doubtful, moderator, examiner):
    from tests.marking.test_awards import give

    assert "is marking this record too" not in page.get(url("marks", doubtful)).content.decode()
    give(doubtful, moderator, 2, part="flame.observation")
    assert "Moss Dale is marking this record too" in page.get(url("marks", doubtful)).content.decode()

    Award.objects.update(at=timezone.now() - AT_WORK * 2)
    assert "is marking this record too" not in page.get(url("marks", doubtful)).content.decode()


def test_in_a_finished_record_nobody_is_at_work(page, doubtful, moderator):
    from tests.marking.test_awards import give

    give(doubtful, moderator, 2, part="flame.observation")
    Record.objects.update(finished=True)
    assert "is marking this record too" not in page.get(url("marks", doubtful)).content.decode()


def test_nobody_is_told_of_themselves(page, doubtful, examiner):
    from tests.marking.test_awards import give

    give(doubtful, examiner, 2, part="flame.observation")
    assert "is marking this record too" not in page.get(url("marks", doubtful)).content.decode()


def test_giving_a_mark_tells_of_another_examiner_who_began_meanwhile(page, doubtful, moderator):
    from tests.marking.test_awards import give

    part = part_of(doubtful)
    sent = taken(part, "") | {f"{PART}-marks": "0"}
    give(doubtful, moderator, 2, part="flame.observation")
    html = page.post(url("award", doubtful, PART), sent, headers={"HX-Request": "true"}).content.decode()

    assert "Moss Dale is marking this record too" in html


# words are shown in the order in which they are marked

def test_signs_that_turn_the_order_of_words_are_shown_to_the_examiner(page, sample, examiner):
    enter_line(sample, examiner, "flame", TURNED)

    html = page.get(url("marks", sample)).content.decode()
    assert "blue ⟨U+202E⟩ton si ti" in html
    assert Record.objects.get().lines.get().observation == TURNED, "nothing of what was written is changed"


@pytest.mark.parametrize(("written", "shown"), [
    ("a\u202eb", "a⟨U+202E⟩b"), ("\u2067x\u2069", "⟨U+2067⟩x⟨U+2069⟩"), ("bell\x07", "bell␇"), ("\x7f\x85", "␡⟨U+0085⟩"),
    ("one\ntwo", "one<br>two"), ("<b>", "&lt;b&gt;"), ("Fe³⁺ 😀 שלום 👨\u200d🔬", "Fe³⁺ 😀 שלום 👨\u200d🔬"), ("", ""), (None, ""),
])
def test_words_are_shown_as_they_are_read(written, shown):
    assert as_written(written) == shown
