"""Entering a record by choice: services, pages, every refusal, and a real Chromium by keyboard alone."""

import re

import pytest
from django.urls import reverse

from grading.models import Record, RecordLine
from tests.marking import exams
from tests.marking.exams import enter_line


@pytest.fixture
def exam(cast):
    return exams.sat_exam(cast.centre)


@pytest.fixture
def page(as_user, examiner, sample):
    """The examiner's client and the address of the record."""
    return as_user(examiner), reverse("choosing:record", args=[sample.exam_id, sample.code])


def key_of(html, test, words):
    return re.search(rf'value="([\w-]+:\w+)"[^>]*>\d+ {re.escape(words)}<', html[html.index(f'name="{test}-choice"'):])[1]


def test_a_choice_is_saved_as_words_and_key_and_read_surely(page, sample):
    client, url = page
    key = key_of(client.get(url).content.decode(), "flame", "golden yellow flame")
    answer = client.post(f"{url}flame/", {"flame-choice": key, "flame-observation": "", "flame-inference": "",
                                          "flame-version": 0}, headers={"HX-Request": "true"})

    assert "saved" in answer.content.decode()
    line = RecordLine.objects.get()
    assert (line.observation, [each["key"] for each in line.chosen]) == ("golden yellow flame", [key])
    part = next(part for part in exams.parts(sample) if part.key == "flame.observation")
    assert part.sure


def test_the_same_choice_sent_twice_is_one_save(page):
    client, url = page
    key = key_of(client.get(url).content.decode(), "flame", "golden yellow flame")
    for version in (0, 1):
        client.post(f"{url}flame/", {"flame-choice": key, "flame-version": version})

    assert RecordLine.objects.get().version == 1


def test_choices_hold_as_long_as_their_words_do(page, sample, examiner):
    client, url = page
    key = key_of(client.get(url).content.decode(), "flame", "golden yellow flame")
    client.post(f"{url}flame/", {"flame-choice": key, "flame-version": 0})
    enter_line(sample, examiner, "flame", "golden yellow flame", "Na+", version=1)
    assert RecordLine.objects.get().chosen

    enter_line(sample, examiner, "flame", "lilac flame", "K+", version=2)
    assert RecordLine.objects.get().chosen == []


def test_an_outcome_that_is_not_offered_is_refused_beside_its_line(page):
    client, url = page
    answer = client.post(f"{url}flame/", {"flame-choice": "flame:no", "flame-observation": "faint",
                                          "flame-version": 0})

    assert answer.status_code == 409
    assert "Choose again" in answer.content.decode()
    assert ">\nfaint</textarea>" in answer.content.decode()
    assert not RecordLine.objects.exists()


def test_somebody_elses_words_are_shown_before_they_are_replaced(page, sample, examiner):
    client, url = page
    enter_line(sample, examiner, "flame", "lilac flame")
    late = {"flame-observation": "faint", "flame-inference": "", "flame-version": 0}
    answer = client.post(f"{url}flame/", late, headers={"HX-Request": "true"}).content.decode()
    assert "lilac flame" in answer
    assert 'name="flame-version" value="0"' in answer  # so that words typed on do not replace them unasked

    client.post(f"{url}flame/", late | {"flame-replace": 1})
    assert RecordLine.objects.get().observation == "faint"


def test_the_whole_record_is_saved_without_javascript(page):
    client, url = page
    html = client.get(url).content.decode()
    data = {"flame-choice": key_of(html, "flame", "golden yellow flame"), "flame-observation": "strong",
            "flame-inference": "Na+", "flame-version": 0, "result-observation": "Na+", "result-inference": "Cl-",
            "result-version": 0, "mark": "1"}
    answer = client.post(url, data)

    assert answer["Location"].startswith(reverse("marking:index", args=[Record.objects.get().sample.exam_id]))
    assert RecordLine.objects.get().observation == "golden yellow flame; strong"
    assert Record.objects.get().cation == "Na+"


def test_a_test_that_the_scheme_does_not_have_is_not_there(page):
    client, url = page

    assert client.post(f"{url}no-such/", {}).status_code == 404


def test_a_finished_record_can_only_be_read(page, sample, examiner):
    client, url = page
    enter_line(sample, examiner, "flame", "lilac flame")
    Record.objects.update(finished=True)

    assert "can only be read" in client.get(url).content.decode()
    answer = client.post(url, {"flame-observation": "x", "flame-version": 1}, follow=True)
    assert "is finished. Open it again" in answer.content.decode()
    assert RecordLine.objects.get().observation == "lilac flame"


def test_a_record_is_chosen_by_keyboard_alone(sample, examiner, open_page):
    page = open_page(examiner)
    page.goto(reverse("choosing:record", args=[sample.exam_id, sample.code]))
    page.focus("[name=group-1-choice]")
    page.keyboard.type("1")
    page.keyboard.press("Tab")
    page.locator("#line-group-1 .saved").wait_for()
    words = page.locator("[name=group-1-choice] option").nth(1).inner_text()

    assert RecordLine.objects.get(test="group-1").observation == words.removeprefix("1 ")


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_the_page_of_choices_has_no_barriers(sample, examiner, open_page, no_barriers, look, width):
    page = open_page(examiner, color_scheme=look, viewport={"width": width, "height": 800})
    page.goto(reverse("choosing:record", args=[sample.exam_id, sample.code]))
    no_barriers(page)

    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_stored_choices_are_judged_as_chosen(page, sample, monkeypatch):
    client, url = page
    key = key_of(client.get(url).content.decode(), "flame", "golden yellow flame")
    judged = []
    monkeypatch.setattr("grading.scoring.lines.as_chosen", lambda award, chosen: judged.append(chosen) or award)
    client.post(f"{url}flame/", {"flame-choice": key, "flame-version": 0})

    assert len(judged) == 1
