"""Caps per stage: marks are added up by one rule, on every page, in results and exports."""

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from examkit.audit import AuditEntry
from grading.marking import selectors, services
from grading.marking.parts import per_stage, stored
from grading.models import Award, Record
from grading.moderation import selectors as moderation
from grading.moderation import tables
from tests.marking import exams

CAP = 8  # steps, of the dry tests in the mark scheme used here
STAGES = st.sampled_from(["dry", "wet", "anion"])


@pytest.fixture
def exam(cast):
    exam = exams.sat_exam(cast.centre)
    exam.mark_scheme = "school-groups"
    exam.save()
    return exam


@pytest.fixture
def generous(sample, examiner):
    """A record whose examiner gave every part its full marks: more than the caps let count."""
    exams.enter(sample, examiner)
    record = Record.objects.get()
    for part in exams.parts(sample):
        Award.objects.create(
            record=record, part=part.key, steps=part.out_of, out_of_steps=part.out_of, by=examiner,
            edition="e", reason="the whole", suggestion={"stamp": part.stamp, "stage": part.stage, "step_marks": "0.5"},
        )
    return Record.objects.get()


def test_no_stage_is_out_of_more_than_its_cap(generous):
    suggestions = stored(generous.paper)
    dry = sum(part.out_of for part in suggestions.parts if part.stage == "dry")

    assert dry > CAP == suggestions.caps["dry"]
    assert suggestions.out_of == generous.paper["out_of"] < sum(part.out_of for part in suggestions.parts)


def test_the_marking_page_adds_up_by_the_caps_and_says_so(as_user, examiner, generous):
    totals = selectors.totals(generous)
    html = as_user(examiner).get(
        reverse("marking:marks", args=[generous.sample.exam_id, generous.sample.code])).content.decode()

    assert totals["steps"] == totals["out_of"]
    assert "no more than 4 count for “dry”" in html


def test_the_queue_results_and_exports_say_the_same_total(exam, generous):
    steps = selectors.totals(generous)["steps"]
    row = next(row for row in selectors.queue(exam, None) if row.steps is not None)
    result = next(r for r in moderation.results(exam) if r.steps is not None)
    cells = next(r for r in tables.rows(exam, moderation.results(exam))[1:] if r[3] == generous.sample.code)

    assert (row.steps, row.out_of) == (result.steps, result.out_of) == (steps, steps)
    assert (result.stages["dry"], result.percent) == (CAP, 100)
    assert cells[-5] == cells[-4]


def test_the_trail_of_a_finished_record_has_the_same_total(generous, examiner):
    services.record_finish(sample=generous.sample, who=examiner)

    told = AuditEntry.objects.get(what="record finished").detail
    assert told["steps"] == told["out_of"] == stored(generous.paper).out_of


def test_the_teachers_sheet_and_the_moderators_record_say_why_a_sum_is_less(as_user, cast, generous):
    for name, who in (("sheet", cast.teacher), ("record", cast.moderator)):
        address = reverse(f"moderation:{name}", args=[generous.sample.exam_id, generous.sample.code])
        assert "no more than 4 count for “dry”" in as_user(who).get(address).content.decode()


@given(st.lists(st.tuples(STAGES, st.integers(0, 20))), st.dictionaries(STAGES, st.integers(0, 30)))
def test_a_sum_is_never_above_its_cap_and_never_above_the_marks(pairs, caps):
    sums = per_stage(pairs, caps)

    for stage, steps in sums.items():
        plain = sum(n for name, n in pairs if name == stage)
        assert steps == min(plain, caps.get(stage, plain))
    assert set(sums) == {stage for stage, _steps in pairs}
