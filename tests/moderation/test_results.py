"""Results: marks by stage, totals and per cents; what is missing is missing, never zero."""

from decimal import Decimal

import pytest

from grading.marking.states import RecordState
from grading.models import Award
from grading.moderation import selectors
from tests.marking import exams

pytestmark = pytest.mark.database


@pytest.fixture
def found(marked):
    return {result.number: result for result in selectors.results(marked)}


def test_the_total_is_the_sum_of_the_awards_and_of_the_stages(found):
    result = found["0071"]

    assert result.steps == sum(Award.objects.values_list("steps", flat=True)) == sum(result.stages.values())
    assert list(result.stages) == ["preliminary", "dry", "wet", "anion", "result"]


def test_each_stage_stands_beside_its_full_marks(found, marked):
    stages = selectors.stages_of(exams.sample_of(marked, "0071"), found["0071"])

    assert [(stage, steps) for stage, steps, _full in stages] == list(found["0071"].stages.items())
    assert sum(full for _stage, _steps, full in stages) == found["0071"].out_of
    assert all(steps <= full for _stage, steps, full in stages)


def test_per_cents_are_exact_to_one_decimal(found):
    result = found["0071"]

    assert result.percent == Decimal(f"{100 * result.steps / result.out_of:.1f}")


def test_a_record_that_was_not_handed_in_has_no_marks_and_is_not_zero(found):
    assert (found["0072"].state, found["0072"].steps, found["0072"].percent) == (
        RecordState.ABSENT,
        None,
        None,
    )


def test_results_are_sorted_by_any_column_with_the_missing_last(marked):
    results = selectors.results(marked)

    assert [r.name for r in selectors.ordered(results, "-name")][0] == "Zoë Äpfelwein-Öhlund"
    assert selectors.ordered(results, "percent")[0].percent is not None
    assert selectors.ordered(results, "-percent")[-1].percent is None
    assert selectors.ordered(results, "password") == results


def test_marks_by_salt_count_marked_records_only(marked):
    [(salt, spread)] = selectors.by_salt(selectors.results(marked))

    assert (salt, spread.n, spread.sd) == ("NiCl2.6H2O", 1, None)
    assert selectors.salts_compared(selectors.results(marked)) is None


def test_the_fingerprint_follows_every_mark(marked):
    before = selectors.digest(selectors.results(marked))
    Award.objects.filter(part="group-3b.observation").update(steps=0)

    assert selectors.digest(selectors.results(marked)) != before


def test_marks_that_are_not_given_yet_leave_a_provisional_total(exam, entered):
    Award.objects.filter(part__startswith="result").delete()
    result = next(r for r in selectors.results(exam) if r.number == "0071")

    assert result.state == RecordState.PARTLY and result.stages["result"] == 0
