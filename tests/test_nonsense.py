"""Nonsense sent to every address, generated from the address table: a clear answer, never a fault of ours."""

import pytest

from examkit.models import Membership, Role
from tests import cast as cast_of
from tests.marking.exams import enter, sample_of, sat_exam
from tests.test_access import TABLE, fill

pytestmark = pytest.mark.django_db
WORDS = {"no number": "abc", "negative": "-1", "a number without end": "9" * 5_000,
         "a NUL and markup": "a\x00b<script>alert(1)</script>", "very long": "ü😀" * 1_000}
FIELDS = """amount cation centre code digest done group held_on item kept list made_on mark_scheme name note number
    observation pick public reason role room rows columns salt sample_g scheme seen spare_percent starts_at
    strength_mol_L substance to username version was why extra_time_percent sitting bench accept label
    naoh-observation naoh-inference naoh-version naoh-replace naoh-pick result-observation result-inference
    result-version appearance.observation-marks appearance.observation-reason appearance.observation-version
    appearance.observation-stamp page printed q sort state after""".split()


@pytest.fixture
def addresses(cast):
    """Every address, filled with things that are there, for a draft and for an exam that is being marked."""
    for role in Role.values:
        Membership.objects.get_or_create(centre=cast.centre, user=cast.teacher, role=role)
    exam, draft = sat_exam(cast.centre), cast_of.exam(cast.centre, name="Draft")
    exam.draw = {"shared_cations": [], "uneven": 0, "uneven_in_sitting": 0, "proven": True}
    exam.save()
    sample = sample_of(exam, "0071")
    enter(sample, cast.examiner)
    bottle = cast.centre.shelf.create(substance="NaCl", amount=1000)
    things = {"room": sample.sitting.room_id, "bench": sample.bench_id, "sitting": sample.sitting_id,
              "candidate": sample.candidate_id, "bottle": bottle.pk, "code": sample.code, "test": "naoh",
              "part": "appearance.observation"}
    untouched = things | {"code": sample_of(exam, "0072").code}
    routes = [route for route, _view in TABLE if "sign-" not in route and not route.endswith(".pdf")]
    return sorted({fill(route, one, these) for route in routes
                   for one, these in ((draft, things), (exam, things), (exam, untouched))})


def broken(client, addresses, words, **more):
    """The addresses that answer with a fault of ours."""
    client.raise_request_exception = False
    asked, sent = {name: words[:500] for name in FIELDS}, dict.fromkeys(FIELDS, words)
    return [address for address in addresses
            if client.get(address, asked, **more).status_code >= 500
            or client.post(address, sent, **more).status_code >= 500]


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS)
def test_nonsense_gets_an_answer_at_every_address(words, addresses, teacher, as_user):
    assert broken(as_user(teacher), addresses, words) == []


@pytest.mark.database
def test_nonsense_saved_by_htmx_gets_an_answer_too(addresses, teacher, as_user):
    assert broken(as_user(teacher), addresses, "a\x00b", headers={"HX-Request": "true"}) == []
