"""Every page of an exam asks the database as often for 3,000 candidates as for 24, generated from the address table."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from examkit.models import Membership, Role, State
from examkit.printing.sheets import SHEETS
from tests.crowd import crowd
from tests.test_access import TABLE, fill

pytestmark = pytest.mark.django_db
FEW, SOME, MANY = 24, 240, 3000
LISTS = {"roster/", "draw/", "day/<int:sitting>/", "bench/", "stock/", "print/"}
RESULTS = {"second/", "release/results/", "release/records/", "release/results.csv"}
CODE = "Q00000"
ROUTES = sorted({route for route, _view in TABLE if route.startswith("exams/<int:pk>/") and not route.endswith(".pdf")})
KNOWN = ("pk", "sitting", "candidate", "salt", "trial", "code")


def openable(route):
    """Whether all that the route names is at hand."""
    return all(part.split(":")[-1].rstrip(">") in KNOWN for part in route.split("<")[1:] for part in [part.split(">")[0]])


def things(exam):
    sample = exam.samples.get(code=CODE)
    return {"sitting": sample.sitting_id, "candidate": sample.candidate_id, "code": CODE,
            "salt": exam.expected.get(salt=sample.salt).pk, "trial": exam.trials.get(salt=sample.salt).pk}


def asked(client, address):
    """How often a page asks the database once it is warm; None where it cannot be opened."""
    if client.get(address).status_code != 200:
        return None
    with CaptureQueriesContext(connection) as seen:
        client.get(address)
    return len(seen)


@pytest.mark.parametrize(("state", "size", "lists"), [
    (State.DRAWN, SOME, LISTS), (State.PREPARED, MANY, LISTS), (State.SAT, SOME, {"marking/", "second/"}),
    (State.MARKED, MANY, RESULTS),
])
def test_no_page_of_an_exam_asks_more_often_for_more_candidates(cast, as_user, state, size, lists):
    for role in Role.values:
        Membership.objects.get_or_create(centre=cast.centre, user=cast.teacher, role=role)
    client, counted = as_user(cast.teacher), {}
    few, many = (crowd(cast.centre, cast.teacher, n, state=state, name=f"{n} candidates") for n in (FEW, size))
    for route in filter(openable, ROUTES):
        counted[route] = tuple(asked(client, fill(route, exam, things(exam))) for exam in (few, many))
    opened = {route: pair for route, pair in counted.items() if pair[0] is not None}

    assert {"exams/<int:pk>/" + page for page in lists} <= opened.keys()
    assert {route: pair for route, pair in opened.items() if pair[0] != pair[1]} == {}


@pytest.mark.parametrize("key", SHEETS)
def test_no_printed_sheet_asks_more_often_for_more_candidates(cast, key):
    counted = []
    for size in (FEW, SOME):
        exam = crowd(cast.centre, cast.teacher, size, state=State.PREPARED, name=f"{size} candidates")
        SHEETS[key].fill(exam)
        with CaptureQueriesContext(connection) as seen:
            SHEETS[key].fill(exam)
        counted.append(len(seen))

    assert counted[0] == counted[1]
