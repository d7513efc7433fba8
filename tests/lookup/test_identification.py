"""Identification: a specimen fits its own record, answers rule out others, and each says at which line."""

import pytest
from django.urls import reverse

from examkit.chemistry.identify import salts_of_syllabus
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen
from examkit.lookup.identification import observed, questions, record_of, verdicts

KB = load()
SCHEME = KB.schemes["semimicro"]


@pytest.mark.parametrize("specimen", salts_of_syllabus(KB, SCHEME)[::6], ids=lambda s: s.salts[0].formula)
def test_a_salt_fits_the_answers_that_its_own_record_gives(specimen):
    fitting, _out = verdicts(KB, SCHEME, record_of(KB, SCHEME, specimen))

    assert specimen.salts[0] in fitting


def test_every_salt_either_fits_or_is_ruled_out_at_one_test():
    fitting, out = verdicts(KB, SCHEME, {"naoh.tube": "Pb2+"})

    assert len(fitting) + sum(len(each.specimens) for each in out) == len(salts_of_syllabus(KB, SCHEME))
    assert [each.test.id for each in out] == ["naoh"]


def test_what_is_ruled_out_says_what_it_would_have_shown():
    _fitting, out = verdicts(KB, SCHEME, {"flame.flame": "Ca2+"})
    shown = {salt.formula: words for each in out for salt, words in each.specimens}

    assert "green" in shown["BaCl2.2H2O"]


def test_a_line_left_open_says_nothing():
    assert observed(KB, SCHEME, {"naoh.tube": "Pb2+"}).keys() == {"naoh"}


@pytest.mark.parametrize("name", ["alchemy.tube", "naoh.aura", "naoh"])
def test_a_question_that_there_is_not_is_no_observation(name):
    assert observed(KB, SCHEME, {name: "Pb2+"}) == {}


def test_an_answer_that_nothing_shows_is_no_observation():
    assert observed(KB, SCHEME, {"naoh.tube": "phlogiston"}) == {}


def test_a_mixture_brings_answers_that_no_ion_alone_shows():
    mixed = read_specimen(KB, "CuSO4.5H2O + NiCl2.6H2O")
    answers = record_of(KB, SCHEME, mixed)
    asked = {q.name: q for _test, all_ in questions(KB, SCHEME, answers) for q in all_}

    assert asked["flame.flame"].answered and asked["dry-heating.residue"].answered


def test_every_question_has_options_and_each_option_stands_for_an_observation():
    for test, asked in questions(KB, SCHEME, {}):
        for question in asked:
            for option in question.options:
                assert observed(KB, SCHEME, {question.name: option.value}), (test.id, option)


@pytest.mark.django_db
def test_the_page_begins_with_a_salts_record_and_finds_the_salt(as_user, teacher):
    shown = as_user(teacher).get(reverse("lookup:identification"), {"like": "NiCl2.6H2O"}).content.decode()

    assert "1 salt fits" in shown and "nickel(II) chloride hexahydrate</a>" in shown
    assert "Heating in a dry test tube: " in shown


@pytest.mark.django_db
def test_answers_in_the_address_are_chosen_in_the_form(as_user, teacher):
    answers = {"naoh.tube": "Pb2+", "flame.flame": ""}
    response = as_user(teacher).get(reverse("lookup:identification"), answers)

    assert response.context["answers"] == {"naoh.tube": "Pb2+"}
    assert "<option value=\"Pb2+\" selected>" in response.content.decode()


@pytest.mark.django_db
def test_an_unknown_salt_to_begin_with_is_said(as_user, teacher):
    shown = as_user(teacher).get(reverse("lookup:identification"), {"like": "PbCl7"}).content.decode()

    assert "No salt is called" in shown and "fits" not in shown
