"""The pool compared: the table of pairs, what to think of, whose eyes; and its page."""

import re
from itertools import combinations

import pytest
from django.urls import reverse

from examkit.planning.selectors.comparison import comparison
from examkit.planning.selectors.expected import by_colour_alone
from tests.planning import exams

pytestmark = pytest.mark.django_db
SALTS = [*exams.SALTS, "NiSO4.6H2O", "NiSO4.7H2O", "BaSO4", "SrSO4"]


@pytest.fixture
def exam(cast):
    return exams.planned(cast, salts=SALTS)


def names(pairs):
    return {frozenset((pair.one, pair.other)) for pair in pairs}


def test_every_pair_of_the_pool_stands_in_the_table_once(exam):
    compared = comparison(exam)

    assert names(cell.pair for cell in compared.cells) == {frozenset(two) for two in combinations(SALTS, 2)}
    assert len(compared.cells) == len(SALTS) * (len(SALTS) - 1) // 2


def test_a_cell_names_the_first_test_that_parts_the_two(exam):
    cells = {frozenset((c.pair.one, c.pair.other)): c for c in comparison(exam).cells}

    assert cells[frozenset(("NiCl2.6H2O", "ZnSO4.7H2O"))].step.test.id == "appearance"
    assert cells[frozenset(("BaSO4", "SrSO4"))].step.test.id == "flame"


def test_two_hydrates_are_alike_and_two_insoluble_sulfates_part_by_colour_alone(exam):
    compared = comparison(exam)

    assert names(compared.alike) == {frozenset(("NiSO4.6H2O", "NiSO4.7H2O"))}
    assert frozenset(("BaSO4", "SrSO4")) in names(compared.by_colour_alone)


def test_the_draw_keeps_away_the_same_salts_that_the_page_names(exam):
    named = {salt for pair in comparison(exam).by_colour_alone for salt in (pair.one, pair.other)}

    assert set(by_colour_alone(exam, SALTS)) == named


def test_the_tests_in_turn_bring_no_more_than_singles_out_each_salt(exam):
    assert sum(step.worth.bits_in_turn for step in comparison(exam).steps) <= len(SALTS).bit_length()


def test_the_salt_with_a_look_alike_is_harder_than_one_that_stands_out(exam):
    number = {row.salt: row.difficulty.number for row in comparison(exam).rows}

    assert number["NiSO4.6H2O"] > number["CuSO4.5H2O"]


@pytest.mark.parametrize("vision", ["protan", "deutan", "tritan"])
def test_other_eyes_part_no_more_than_usual_ones_and_what_they_lose_is_listed(exam, vision):
    usual, these = comparison(exam), comparison(exam, vision)

    assert names(usual.alike) <= names(these.alike)
    assert names(these.lost) == names(these.alike) - names(usual.alike)


def test_marginal_results_are_listed_with_their_tests(exam):
    marginal = {row.salt: tests for row, tests in comparison(exam).marginal}

    assert "Sodium hydroxide" in marginal["CaCO3"]


def test_what_hangs_on_a_marginal_result_counts_as_not_told_apart(exam):
    compared = comparison(exam)

    assert names(compared.hanging) <= names(compared.alike)
    assert all(tests for _pair, tests in compared.if_seen)


def test_a_pool_of_fewer_than_two_is_not_compared(cast):
    assert comparison(exams.draft(cast)) is None


def page(client, exam, **query):
    return client.get(reverse("planning:compare", args=[exam.pk]), query)


def test_the_page_shows_the_table_the_worths_and_the_difficulties(exam, as_user, teacher):
    shown = page(as_user(teacher), exam).content.decode()

    assert "NiSO₄·6H₂O</span> and <span class=\"formula\">NiSO₄·7H₂O" in shown
    assert "cannot be told apart</span>" in shown and "colour alone" in shown
    assert shown.count("<tbody>") == 3


def test_a_salt_is_set_against_the_others(exam, as_user, teacher):
    shown = page(as_user(teacher), exam, salt="NiSO4.6H2O").content.decode()

    assert "NiSO₄·6H₂O against the others" in shown
    assert re.search(r"NiSO₄·7H₂O</th><td><strong>none", shown)


def test_the_eyes_stand_in_the_address(exam, as_user, teacher):
    shown = page(as_user(teacher), exam, vision="deutan").content.decode()

    assert '<strong aria-current="page">deutan (no green cones)</strong>' in shown and "Lost to these eyes" in shown


def test_unknown_eyes_are_not_found(exam, as_user, teacher):
    assert page(as_user(teacher), exam, vision="eagle").status_code == 404


def test_a_salt_that_is_not_in_the_pool_is_passed_over(exam, as_user, teacher):
    assert "against the others" not in page(as_user(teacher), exam, salt="PbCl7").content.decode()


def test_an_exam_without_a_pool_says_what_to_do_first(cast, as_user):
    assert "choose the pool first" in page(as_user(cast.teacher), exams.draft(cast)).content.decode()


def test_the_page_is_not_for_examiners(exam, as_user, examiner):
    assert page(as_user(examiner), exam).status_code == 403
