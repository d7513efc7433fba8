"""The trail only grows, and a broken chain is found: on both databases."""

import importlib
from datetime import datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from examkit import audit
from examkit.house import trail as trail_page
from examkit.models import AuditEntry

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def trail(centre, teacher):
    """Three entries."""
    for name in ("Spring", "Summer", "Autumn"):
        audit.record(centre=centre, who=teacher, what="exam planned", about=name, detail={"pool": 12})
    return AuditEntry.objects.filter(centre=centre)


@pytest.fixture
def tampering(db):
    """The administrator's way in: the triggers are dropped for a while."""
    triggers = importlib.import_module("examkit.migrations.0002_audit_append_only")
    triggers.unprotect(connection)
    yield
    triggers.protect(connection)


def test_entries_are_numbered_and_chained(trail, centre):
    first, second, third = trail

    assert [first.sequence, second.sequence, third.sequence] == [1, 2, 3]
    assert [first.previous, second.previous, third.previous] == [audit.START, first.hash, second.hash]
    assert audit.verify(centre) == []


def test_an_entry_says_who_did_what_when_and_to_what(trail):
    entry = trail.first()

    assert (entry.who, entry.what, entry.about) == ("teacher", "exam planned", "Spring")
    assert entry.detail == {"pool": 12}
    assert datetime.fromisoformat(entry.at) == entry.moment and entry.moment.tzinfo


def test_each_centre_has_a_chain_of_its_own(trail, cast):
    entry = audit.record(centre=cast.elsewhere, who="command line", what="restored", about="copy")

    assert entry.sequence == 1 and audit.verify(cast.elsewhere) == [] == audit.verify(cast.centre)


@pytest.mark.parametrize("change", [
    lambda trail: trail.update(who="somebody else"),
    lambda trail: trail.delete(),
    lambda trail: trail.first().delete(),
    lambda trail: trail.first().save(),
])
def test_the_database_refuses_to_change_or_remove_an_entry(trail, centre, change):
    with pytest.raises(IntegrityError, match="only grows"), transaction.atomic():
        change(trail)

    assert trail.count() == 3 and audit.verify(centre) == []


@pytest.mark.parametrize(("field", "value"), [
    ("who", "somebody else"), ("about", "Winter"), ("detail", {"pool": 1}),
    ("at", "2001-01-01T00:00:00+00:00"), ("hash", "f" * 64),
])
def test_an_entry_changed_behind_the_triggers_is_found(trail, centre, tampering, field, value):
    trail.filter(sequence=2).update(**{field: value})

    assert "Entry 2 (exam planned" in audit.verify(centre)[0]


def test_an_entry_taken_out_is_found(trail, centre, tampering):
    trail.filter(sequence=2).delete()

    assert audit.verify(centre) == ["Entry 2 is missing before entry 3.",
                                    "Entry 3 does not follow from the entry before it."]


def test_a_whole_forged_chain_is_found_by_the_printed_head(trail, centre, tampering):
    printed = audit.head(centre).hash
    trail.filter(sequence=3).delete()
    audit.record(centre=centre, who="forger", what="exam planned", about="Winter")

    assert audit.verify(centre) == []
    assert "were cut off or replaced" in audit.verify(centre, printed=printed)[0]


def test_a_head_printed_earlier_is_still_found_in_the_chain(trail, centre):
    assert audit.verify(centre, printed=trail.first().hash) == []


def test_nothing_stays_of_an_entry_whose_transaction_fails(centre):
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        audit.record(centre=centre, who="x", what="y", about="z")
        _ = 1 / 0

    assert audit.head(centre) == audit.Head(0, audit.START)


def test_words_too_long_for_their_column_are_cut_before_they_are_hashed(centre):
    audit.record(centre=centre, who="w" * 999, what="x" * 999, about="é" * 999)

    assert audit.verify(centre) == []


JSON = st.recursive(st.none() | st.booleans() | st.integers(-2**53, 2**53) | st.floats() | st.text()
                    | st.decimals(allow_nan=False) | st.datetimes(),
                    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
                    max_leaves=8)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(detail=st.dictionaries(st.text(), JSON, max_size=4), about=st.text(max_size=250))
def test_whatever_is_recorded_verifies_when_read_back(centre, detail, about):
    audit.record(centre=centre, who="anyone", what="anything", about=about, detail=detail)

    assert audit.verify(centre) == []


def test_marks_and_masses_in_the_detail_stay_exact(centre):
    detail = {"grams": Decimal("0.10"), "f": 0.1}
    entry = audit.record(centre=centre, who="x", what="y", about="z", detail=detail)
    entry.refresh_from_db()

    assert entry.detail == {"grams": "0.10", "f": "0.1"}


def test_the_page_shows_the_trail_newest_first(trail, teacher, as_user):
    page = as_user(teacher).get(reverse("audit")).content.decode()

    assert page.index("Autumn") < page.index("Summer") < page.index("Spring")
    assert "The chain of 3 entries is unbroken." in page


def test_the_page_says_where_the_chain_is_broken(trail, teacher, as_user, tampering):
    trail.filter(sequence=1).update(about="Winter")

    page = as_user(teacher).get(reverse("audit")).content.decode()
    assert "Entry 1 (exam planned, Winter) was changed" in page


def test_the_page_checks_a_hash_kept_earlier(trail, teacher, as_user):
    page = as_user(teacher).get(reverse("audit"), {"printed": "0" * 63 + "1"}).content.decode()

    assert "were cut off or replaced" in page


def test_the_page_finds_entries_by_their_words_and_by_who_did_what(trail, centre, teacher, as_user):
    audit.record(centre=centre, who="n.ash", what="broken bench", about="Autumn: Friday B6",
                 detail={"reason": "Gas tap leaks, says Zoë"})

    def shown(**asked):
        return [entry.about for entry, _told in as_user(teacher).get(reverse("audit"), asked).context["rows"]]

    assert shown(words="Zoë") == ["Autumn: Friday B6"]
    assert shown(words="tap friday") == ["Autumn: Friday B6"]
    assert shown(who="n.ash") == ["Autumn: Friday B6"]
    assert shown(what="exam planned", words="autumn") == ["Autumn"]
    assert shown(words="nothing of the kind") == []


def test_marks_that_are_counted_in_steps_are_told_as_marks():
    told = told_of({"part": "flame.observation", "from": None, "to": 1, "out_of": 2, "step_marks": "0.5"})

    assert told == [("part", "flame.observation"), ("to", "0.5"), ("out of", "1")]


def test_a_list_of_several_is_told_as_lines_and_a_hash_is_short():
    marks = [{"part": "flame.observation", "to": 2, "step_marks": "0.5"}, {"part": "naoh.observation", "to": 0}]
    told = trail_page.told({"marks": marks, "edition": "ab" * 32, "agrees": True, "seats": [["1", "A1"]], "note": ""})

    assert [one.lines for one in told if one.name == "marks"] == [
        ["part: flame.observation; to: 1", "part: naoh.observation; to: 0"]]
    assert [(one.name, one.text) for one in told] == [
        ("marks", "2 lines"), ("edition", "abababababab…"), ("agrees", "yes"), ("seats", "1, A1")]


@given(detail=st.dictionaries(st.text(), JSON, max_size=4))
def test_whatever_was_recorded_can_be_told(detail):
    assert all(one.name is not None and isinstance(one.text, str) for one in trail_page.told(detail))


def test_a_step_that_is_no_number_is_told_as_it_stands():
    assert told_of({"to": 1, "step_marks": "half"}) == [("to", "1"), ("step marks", "half")]


def told_of(detail):
    return [(one.name, one.text) for one in trail_page.told(detail)]
