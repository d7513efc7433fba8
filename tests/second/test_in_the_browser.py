"""Second marking in a real Chromium: drawn, marked by keyboard, settled; no barriers."""

import pytest
from django.urls import reverse

from grading.models import Award, SecondMark, SecondMarking
from tests.marking.exams import parts
from tests.second import acts


def address(name, sample):
    return reverse(f"second:{name}", args=[sample.exam_id, sample.code])


def test_a_sample_is_drawn_marked_by_keyboard_and_settled(exam, second, moderator, examiner, open_page):
    lead, marker = open_page(moderator), open_page(second)
    lead.goto(reverse("second:index", args=[exam.pk]))
    lead.get_by_label("Records, as a number or a share").fill("10 %")
    lead.get_by_role("button", name="Draw").click()
    lead.get_by_text("The sample is drawn").wait_for()
    sample = acts.drawn(exam)[0]

    marker.goto("/")
    marker.get_by_role("link", name=exam.name).first.click()
    marker.get_by_role("link", name=f"{sample.code[:3]} {sample.code[3:]}").click()
    keys = marker.locator(".mark-field")
    keys.first.wait_for()
    marker.keyboard.type("0")
    marker.keyboard.press("Enter")
    marker.keyboard.type("it says nothing of the shape")
    marker.keyboard.press("Enter")
    marker.locator("#part-appearance-observation .given").wait_for()
    for _number in range(1, len(parts(sample))):
        marker.keyboard.press("Enter")
    marker.locator("#totals").get_by_text(f"{len(parts(sample))} of {len(parts(sample))} parts").wait_for()
    assert SecondMark.objects.filter(by=second).count() == len(parts(sample))
    marker.get_by_role("button", name="Finish this record").click()
    marker.get_by_text("is finished").first.wait_for()
    assert SecondMarking.objects.get().finished_at

    lead.reload()
    lead.get_by_role("link", name="Settle the differences").click()
    lead.get_by_text("it says nothing of the shape").wait_for()
    lead.get_by_label("another mark:").check()
    lead.get_by_label("another mark", exact=True).fill("½")
    lead.get_by_label("Reason (it goes into the audit trail)").fill("the colour is right")
    lead.get_by_role("button", name="Settle").click()
    lead.get_by_text("All differences").wait_for()

    award = Award.objects.get(record__sample=sample, part=acts.PART)
    assert (award.steps, award.by, award.reason) == (1, moderator, "the colour is right")


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_pages_of_second_marking_have_no_barriers(finished, second, moderator, open_page, no_barriers, look, width):
    for who, url in ((moderator, reverse("second:index", args=[finished.exam_id])),
                     (moderator, address("settle", finished)), (second, address("marks", finished))):
        page = open_page(who, color_scheme=look, viewport={"width": width, "height": 800})
        page.goto(url)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        no_barriers(page)
