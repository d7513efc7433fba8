"""A teacher adds a salt and an outcome, draws them, marks them, and changes them afterwards: nothing frozen moves."""

import pytest
from django.urls import reverse

from examkit.knowledge import knowledge
from examkit.models import Own, State
from examkit.planning import services
from examkit.planning.draw_check import check
from examkit.printing import fill
from examkit.stockroom.selectors import stock_list
from grading.marking.services import line_save, result_save, suggestions_renew
from grading.marking.suggest import suggest
from grading.models import Record
from tests.own.entries import SALT_FORM
from tests.planning import exams

pytestmark = [pytest.mark.journey, pytest.mark.browser, pytest.mark.django_db(transaction=True)]
OURS = "NiBr2.3H2O"
SEEN = "blue gelatinous precipitate, insoluble in excess"


def add_the_salt(page):
    page.goto(reverse("own:index"))
    page.get_by_role("link", name="Add a salt").click()
    for label, field in (("Formula, with its water", "formula"), ("Name", "name"), ("CAS number", "cas"),
                         ("Colour of that solution", "solution_words"), ("Hazard statements", "statements")):
        page.locator(f"[name={field}]").fill(SALT_FORM[field])
        assert page.get_by_label(label).count()
    page.locator("[name=colour]").fill(SALT_FORM["colour"])
    page.get_by_label("Cation").first.select_option("Ni2+")
    page.get_by_label("Anion").select_option("Br-")
    page.get_by_label("Signal word").select_option("Warning")
    page.get_by_label("Why, and where it comes from").fill("bought in March, label of the bottle")
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Saved. It counts from now on").wait_for()


def accept_an_outcome(page):
    page.get_by_role("link", name="Accept an outcome").click()
    page.get_by_label("Ion or salt").select_option("Ni2+")
    page.get_by_label("Test, and what is looked at").select_option("naoh.tube")
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("Colours, any of them").first.fill("blue")
    page.get_by_label("Why, and where it comes from").fill("seen by all of 12Q in March")
    page.get_by_role("button", name="Save").click()
    page.get_by_role("link", name="Ni²⁺, Sodium hydroxide").wait_for()


def drawn_with_ours(page, cast):
    """An exam planned by services, its pool chosen on the page, drawn."""
    exam = exams.planned(cast, candidates=12, salts=exams.SALTS[1:6])
    page.goto(reverse("planning:pool", args=[exam.pk]))
    page.locator(f"input[value='{OURS}']").check()
    page.get_by_role("button", name="Save the pool").first.click()
    page.wait_for_load_state()
    services.draw_seal(exam=exam, who=cast.teacher)
    services.draw_make(exam=exam, who=cast.teacher)
    exam.refresh_from_db()
    return exam


def mark(exam, examiner):
    """The record of a candidate with our salt, entered; the marks suggested for sodium hydroxide."""
    exam.state = State.SAT
    exam.save()
    sample = exam.samples.select_related("exam__centre").filter(salt=OURS).first()
    line_save(sample=sample, test="naoh", observation=SEEN, inference="Ni2+", version=0, who=examiner)
    result_save(sample=sample, cation="Ni2+", anion="Br-", version=0, who=examiner)
    return sample, suggested(sample)


def suggested(sample):
    found = suggest(Record.objects.get(sample=sample))
    parts = [part for part in found.parts if part.key.startswith(("naoh", "result"))]
    return {part.key: (part.steps, part.out_of) for part in parts}, found.edition


def test_a_salt_of_our_own_is_drawn_and_marked_and_a_later_change_moves_nothing_frozen(cast, open_page):
    page = open_page(cast.teacher)
    add_the_salt(page)
    accept_an_outcome(page)
    exam = drawn_with_ours(page, cast)

    frozen = exam.expected.get(salt=OURS)
    assert frozen.edition == exam.edition == knowledge(cast.centre).edition != knowledge().edition
    assert "nickel(II) bromide trihydrate" in [row.name.split(",")[0] for row in stock_list(exam).salts]
    assert "nickel(II) bromide trihydrate" in [salt.name for salt in fill.marking_key(exam).salts]

    sample, before = mark(exam, cast.examiner)
    steps, out_of = before[0]["naoh.observation"]
    assert steps == out_of > 0  # blue is right here, since we said so
    assert before[1] == exam.edition

    change_the_salt_and_withdraw_the_outcome(page)

    assert knowledge(cast.centre).salts[OURS].colour == ("blue",)
    again = exam.expected.get(salt=OURS)
    assert (again.edition, again.record) == (frozen.edition, frozen.record)
    suggestions_renew(sample=sample, who=cast.examiner)
    assert suggested(sample) == before
    exam.refresh_from_db()
    assert exam.edition == frozen.edition and check(exam) == []


def change_the_salt_and_withdraw_the_outcome(page):
    page.goto(reverse("own:index"))
    page.get_by_role("link", name="nickel(II) bromide trihydrate").click()
    page.locator("[name=colour]").fill("blue")
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Saved. It counts from now on").wait_for()
    page.get_by_role("link", name="Ni²⁺, Sodium hydroxide").click()
    page.get_by_text("Withdraw it").first.click()
    page.get_by_label("Reason").fill("we were mistaken")
    page.get_by_role("button", name="Withdraw it").click()
    page.get_by_text("Withdrawn.").wait_for()
    assert not Own.objects.get(kind="outcome").active
