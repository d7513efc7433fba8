"""Edited schemes: those that are let pass can be run, those that cannot work are refused with what is missing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.errors import KnowledgeError
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.layers import own
from examkit.chemistry.knowledge.load import SHARED, load
from examkit.chemistry.knowledge.overlay import load_with
from examkit.chemistry.knowledge.working import scheme_faults
from examkit.chemistry.specimen import read_specimen
from examkit.chemistry.vessel import conditions
from examkit.own.schemes import edited, ordered, scheme_data, sequences

KB = load(SHARED, None)
SALTS = ("NiCl2.6H2O", "Pb(NO3)2", "NH4Cl", "BaCl2.2H2O", "ZnSO4.7H2O")


def entry(scheme, **change):
    return own("scheme", "own-1", {"source": "our way", "scheme": scheme | {"title": "Ours"} | change})


def with_tests(key, drop=(), places=None):
    """A shipped scheme without some tests, and with some of them at other places."""
    scheme = scheme_data(KB.schemes[key])
    rows = [((places or {}).get(n, 10 * n), stage["test"] not in drop, stage)
            for n, stage in enumerate(scheme["tests"], 1)]
    head = {name: scheme[name] for name in ("title", "grams", "sample_g", "stops_at_first_group")}
    head |= scheme["syllabus"] | scheme["solutions"]
    groups = [(name, name, group["cations"], group["reagent"]) for name, group in scheme["groups"].items()]
    return edited(scheme, head, rows, groups)


@pytest.mark.parametrize("key", list(KB.schemes))
def test_every_shipped_scheme_can_work(key):
    assert scheme_faults(KB, key) == []


@pytest.mark.parametrize("key", list(KB.schemes))
def test_an_edit_that_changes_nothing_gives_the_same_scheme(key):
    merged = load_with(SHARED, None, (entry(with_tests(key)),))

    ours, shipped = scheme_data(merged.schemes["own-1"]), scheme_data(KB.schemes[key])
    assert ours | {"scheme": key, "title": shipped["title"]} == shipped
    assert list(ours["groups"]) == list(shipped["groups"])
    assert conditions(merged, merged.schemes["own-1"]) == conditions(KB, KB.schemes[key])


TESTS = {key: [stage.test for stage in scheme.stages] for key, scheme in KB.schemes.items()}
EDITS = st.sampled_from(sorted(TESTS)).flatmap(lambda key: st.tuples(
    st.just(key), st.lists(st.sampled_from(TESTS[key]), max_size=3),
    st.dictionaries(st.integers(1, len(TESTS[key])), st.integers(0, 10 * len(TESTS[key])), max_size=2)))


@given(edit=EDITS)
@settings(max_examples=40, deadline=None)
def test_a_scheme_that_is_let_pass_can_be_run_for_every_salt(edit):
    try:
        merged = load_with(SHARED, None, (entry(with_tests(*edit)),))
    except KnowledgeError as refusal:
        assert all(problem.what and problem.entry for problem in refusal.problems)
        return
    for salt in SALTS:
        record = expect(merged, read_specimen(merged, salt), "own-1").as_json()
        assert [line["test"] for line in record["lines"]] == [s.test for s in merged.schemes["own-1"].stages]


@pytest.mark.parametrize(("change", "words"), [
    ({"grams": 0}, "no mass"),
    ({"sample_g": 0.1}, "is given 0.1 g, but the tests take 0.5 g"),
    ({"tests": [{"test": "alchemy"}]}, "there is no test 'alchemy'"),
    ({"syllabus": {"cations": [], "anions": ["Cl-"]}}, "at least 1 item"),
])
def test_what_is_wrong_is_said(change, words):
    with pytest.raises(KnowledgeError, match=words):
        load_with(SHARED, None, (entry(with_tests("semimicro"), **change),))


def test_a_test_twice_is_refused():
    scheme = with_tests("semimicro")
    scheme["tests"].append(scheme["tests"][0])

    with pytest.raises(KnowledgeError, match="'Appearance' stands in the scheme twice"):
        load_with(SHARED, None, (entry(scheme),))


def test_the_tube_holds_at_least_its_portion():
    scheme = with_tests("semimicro")
    naoh = next(stage for stage in scheme["tests"] if stage["test"] == "naoh")
    naoh["operations"] = sequences(naoh, KB.tests["naoh"])[""]
    naoh["operations"][1] = naoh["operations"][1] | {"to_mL": 0.1}

    with pytest.raises(KnowledgeError, match="is less than the portion of 0.5 mL"):
        load_with(SHARED, None, (entry(scheme),))


def test_a_cation_of_the_syllabus_in_no_group_is_named():
    scheme = with_tests("semimicro")
    scheme["groups"]["V"]["cations"].remove("K+")

    with pytest.raises(KnowledgeError, match=r"K\+ of the syllabus is in no group"):
        load_with(SHARED, None, (entry(scheme),))


def test_tests_at_one_place_keep_their_order():
    assert ordered([(10, True, "a"), (10, True, "b"), (5, True, "c")]) == ["c", "a", "b"]
