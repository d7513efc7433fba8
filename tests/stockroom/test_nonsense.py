"""Nonsense in every field of the stock room's and the day's forms while they are open: an answer, never a fault."""

import pytest
from django.urls import reverse

from examkit.stockroom.trials.services import trial_open
from examkit.stockroom.tubes.services import tubes_fill_rest
from tests.day.conftest import on_the_day
from tests.stockroom.drawn import drawn_exam
from tests.stockroom.tried import bottle
from tests.test_nonsense import WORDS

pytestmark = [pytest.mark.database, pytest.mark.django_db]
SALT = "NiCl2.6H2O"
FIELDS = """item done note why version label bottle trial mass agrees seen again from 0-event 0-colours 0-texture
    lot grade percent_w_w density_g_mL amount strength_mol_L substance made_on was kind code words test
    minutes""".split()


def stock_addresses(exam, who):
    """Every address of a drawn exam's stock room, with a trial and tubes that are there."""
    jar = bottle(exam, who, SALT)
    trial = trial_open(exam=exam, who=who, salt=SALT, bottle=jar)
    tubes_fill_rest(trial=trial, who=who)
    salt = exam.expected.get(salt=SALT).pk
    places = [("tick",), ("salt", salt), ("try", salt), ("fill", salt), ("fill-rest", salt), ("empty", salt),
              ("trial", trial.pk), ("see", trial.pk, "naoh"), ("see", trial.pk, "zzz"),
              ("amend", trial.pk, "naoh", "tube"), ("amend", trial.pk, "naoh", "zzz"), ("bottle-add",),
              ("bottle-change", jar.pk), ("bottle-use", jar.pk), ("set-aside", jar.pk), ("sign-off",)]
    return [reverse(f"stockroom:{name}", args=[exam.pk, *more]) for name, *more in places]


def day_addresses(exam):
    """Every address of an exam on its day."""
    sitting, sample = exam.sittings.get(), exam.samples.first()
    places = [("note", sitting.pk), ("rest-present", sitting.pk), ("benches", sitting.pk),
              ("candidate", sitting.pk, sample.code), ("candidate", sitting.pk, "zzz")]
    return [reverse(f"day:{name}", args=[exam.pk, *more]) for name, *more in places]


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS)
@pytest.mark.parametrize("valid", [{}, {"kind": "incident"}, {"kind": "time given back", "words": "alarm"},
                                   {"agrees": "no", "version": "0"}, {"label": "spare 1", "version": "1"}])
def test_nonsense_gets_an_answer_in_every_field(cast, as_user, words, valid):
    drawn, today = drawn_exam(cast.centre), on_the_day(cast.centre, name="Today")
    addresses = [*stock_addresses(drawn, cast.assistant), *day_addresses(today)]
    client = as_user(cast.teacher)
    client.raise_request_exception = False
    sent = dict.fromkeys(FIELDS, words) | valid | ({"code": today.samples.first().code} if valid else {})

    for headers in ({}, {"HX-Request": "true"}):
        faults = [each for each in addresses if client.post(each, sent, headers=headers).status_code >= 500]
        assert faults == []
