"""Every page on a narrow screen, generated from the address table: 320 px is also a desktop at 400 % zoom."""

import pytest

from examkit.models import Membership, Role
from tests import cast as cast_of
from tests.marking.exams import enter, sample_of, sat_exam
from tests.test_access import TABLE, fill

WIDTH = 320
NOT_PAGES = (".pdf", ".csv", ".xlsx", "results/<slug", "next/")


@pytest.fixture
def everything(cast):
    """A person with every role, a draft and an exam that is being marked; the addresses that can be opened."""
    for role in Role.values:
        Membership.objects.get_or_create(centre=cast.centre, user=cast.teacher, role=role)
    exam, draft = sat_exam(cast.centre), cast_of.exam(cast.centre, name="A draft with a rather long name")
    exam.draw = {"shared_cations": [], "uneven": 0, "uneven_in_sitting": 0, "proven": True}
    exam.save()
    draft.candidates.create(number="0012", name="Wolfeschlegelsteinhausenbergerdorff" * 3)
    sample = sample_of(exam, "0071")
    enter(sample, cast.examiner)
    bottle = cast.centre.shelf.create(substance="NaCl", amount=1000)
    trial = exam.trials.create(salt=sample.salt, named="a lot with a rather long name, as delivered")
    exam.tubes.create(salt=sample.salt, label=sample.code, sample=sample, trial=trial, by=cast.assistant)
    things = {"room": sample.sitting.room_id, "bench": sample.bench_id, "sitting": sample.sitting_id,
              "candidate": sample.candidate_id, "bottle": bottle.pk, "trial": trial.pk, "facet": "tube",
              "salt": exam.expected.get(salt=sample.salt).pk, "code": sample.code, "test": "naoh",
              "key": "naoh", "formula": "NaCl"}
    routes = [route for route, _view in TABLE if not route.endswith(NOT_PAGES) and "<path" not in route]
    return sorted({fill(route, one, things) for route in routes for one in (exam, draft)})


def test_no_page_is_wider_than_a_phone(everything, teacher, open_page):
    page = open_page(teacher, viewport={"width": WIDTH, "height": 700})
    opened, wide = 0, []
    for url in everything:
        answer = page.goto(url)
        opened += answer.status == 200
        width = page.evaluate("document.documentElement.scrollWidth")
        wide += [f"{url}: {width} px"] if width > WIDTH else []

    assert "\n".join(wide) == ""
    assert opened > 30
