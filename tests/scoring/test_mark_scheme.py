"""Mark schemes: those that are shipped load; a bad one tells all its faults at once."""

from copy import deepcopy
from decimal import Decimal
from fractions import Fraction

import pytest

from grading.errors import GradingError
from grading.scoring.mark_scheme import MarkSchemeError, from_data, mark_scheme
from tests.reading.bench import base


def data():
    return deepcopy(base().mark_schemes["common"])


@pytest.mark.parametrize("key", sorted(base().mark_schemes))
def test_every_shipped_mark_scheme_can_be_used(key):
    assert mark_scheme(base(), key).key == key


def test_marks_are_whole_numbers_of_the_smallest_step():
    scheme = mark_scheme(base(), "common")

    assert scheme.steps(Fraction(1, 2), 1) == 1
    assert scheme.steps(Fraction(49, 100), 1) == 0
    assert scheme.marks(3) == Decimal("1.5")
    assert mark_scheme(base(), "no-halves").steps(Fraction(99, 100), 1) == 0


def test_a_scheme_that_is_not_there_names_those_that_are():
    with pytest.raises(GradingError, match="No mark scheme is called 'x'. There are: common, mixture, no-halves, school-groups"):
        mark_scheme(base(), "x")


def test_all_faults_are_told_at_once():
    bad = data()
    bad["step_marks"] = "zero"
    bad["rounding"] = "up"
    bad["result"]["cation"] = -1
    bad["partial"] = {"event": 0, "odour": 1}
    bad["inference"]["carried_fraction"] = "2"
    bad["inference"]["full_when"] = "always"
    bad["lines"]["tests"]["no-such-test"] = {"observation": 1, "inference": 1}
    bad["lines"]["stages"].pop("dry")
    with pytest.raises(MarkSchemeError) as told:
        from_data(bad, base())

    for word in (
        "step_marks",
        "rounding",
        "result.cation",
        "partial.odour",
        "partial.event",
        "carried_fraction",
        "full_when",
        "no-such-test",
        "'dry'",
    ):
        assert word in str(told.value)


@pytest.mark.parametrize("broken", [None, 3, [], "text", {}, {"mark_scheme": "x", "lines": 3}])
def test_what_is_no_mark_scheme_is_refused_in_words(broken):
    with pytest.raises(MarkSchemeError):
        from_data(broken)


@pytest.mark.parametrize(
    "section", ["lines", "result", "partial", "observation", "inference", "result_rules"]
)
def test_a_section_that_is_missing_or_no_mapping_is_told(section):
    for value in (None, 7):
        bad = data() | {section: value}
        with pytest.raises(MarkSchemeError, match=section):
            from_data(bad)


def test_a_number_that_is_no_text_is_refused_since_it_is_not_exact():
    with pytest.raises(MarkSchemeError, match="step_marks"):
        from_data(data() | {"step_marks": 0.5})
