"""A centre's own entries over the shipped base: another edition, the same records, the same checks."""

import pickle
from dataclasses import fields

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from examkit.chemistry.errors import KnowledgeError
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge import overlay
from examkit.chemistry.knowledge.check import CHECKS
from examkit.chemistry.knowledge.layers import edition_of, fact_at, own
from examkit.chemistry.knowledge.load import SHARED, load
from examkit.chemistry.knowledge.overlay import fitting, load_with
from examkit.chemistry.observe import observe
from examkit.chemistry.specimen import read_specimen

KB = load(SHARED, None)
PLACES = sorted((ion.formula, *place) for ion in KB.ions.values() for place in ion.facts)
SEEN_TESTS = {stage.test for stage in KB.schemes["semimicro"].stages}
SYLLABUS = {*KB.schemes["semimicro"].cations, *KB.schemes["semimicro"].anions}


def looked_at(subject, test, facet):
    """A confirmatory facet is looked at only where it concerns the ion; iron(II) is oxidised on its way."""
    if any(stage.test == test and subject in stage.becomes for stage in KB.schemes["semimicro"].stages):
        return False
    return not KB.tests[test].facets[facet].of or subject in KB.tests[test].facets[facet].of


IN_SYLLABUS = [each for each in PLACES if each[1] in SEEN_TESTS and each[0] in SYLLABUS and looked_at(*each)]
COLOURS = sorted(KB.colours)


def outcome(key, subject, test, facet, colour="pale green"):
    """One more outcome for a fact of the base: the same steps, in another colour."""
    seen = [{"step": o.step, "event": o.event, "colours": [colour]} for o in KB.ions[subject].facts[test, facet].seen]
    return own("outcome", key, {"source": "our trial", "subject": subject, "test": test, "facet": facet,
                                "seen": seen})


def weaker(key, factor):
    return own("reagent", key, {"source": "our bottle",
                                "reagent": {"strength_mol_L": KB.reagents[key].strength_mol_L * factor}})


OUTCOMES = st.builds(lambda place, colour, n: outcome(f"own-{n}", *place, colour),
                     st.sampled_from(IN_SYLLABUS), st.sampled_from(COLOURS), st.integers(1, 9))
MADE_UP = sorted(key for key, r in KB.reagents.items() if r.strength_mol_L and r.made_from)
STRENGTHS = st.builds(weaker, st.sampled_from(MADE_UP), st.sampled_from([0.25, 0.5, 0.9]))
ENTRIES = st.lists(st.one_of(OUTCOMES, STRENGTHS), max_size=4, unique_by=lambda entry: (entry.kind, entry.key))


def test_no_entries_are_the_shipped_base_itself():
    assert load_with(SHARED, None, ()) is KB
    assert edition_of(KB, ()) == KB.edition


@given(entries=ENTRIES)
@settings(max_examples=25, deadline=None)
def test_entries_make_an_edition_of_their_own_and_leave_every_shipped_record_as_it_was(entries):
    before = pickle.dumps(KB)
    merged = load_with(SHARED, None, tuple(entries))

    assert pickle.dumps(KB) == before
    assert (merged.edition == KB.edition) == (not entries)
    assert merged.constants is KB.constants and merged.tests is KB.tests
    touched = {entry.data.get("subject") for entry in entries}
    assert all(merged.ions[key] is ion for key, ion in KB.ions.items() if key not in touched)


@given(entries=ENTRIES)
@settings(max_examples=25, deadline=None)
def test_the_edition_does_not_hang_on_the_order_of_entries(entries):
    assert edition_of(KB, entries) == edition_of(KB, entries[::-1])


@given(entries=ENTRIES)
@settings(max_examples=25, deadline=None)
def test_each_entry_counts_in_the_edition(entries):
    editions = {edition_of(KB, entries[:n]) for n in range(len(entries) + 1)}

    assert len(editions) == len(entries) + 1


@given(entry=OUTCOMES)
@settings(max_examples=25, deadline=None)
def test_an_outcome_also_accepted_changes_what_is_accepted_and_nothing_that_is_inferred(entry):
    data = entry.data
    changed = {ion for stage in KB.schemes["semimicro"].stages for ion in stage.becomes}
    assume(KB.tests[data["test"]].portion != "tube" or data["subject"] not in changed)  # iron(II) is iron(III) by then
    merged = load_with(SHARED, None, (entry,))
    before, after = (observe(kb, data["test"], data["subject"]) for kb in (KB, merged))

    same = ("seen", "text", "points_to", "rules_out", "equations", "margin", "sources")
    assert [getattr(after, name) for name in same] == [getattr(before, name) for name in same]
    added = len(after.also_accepted) - len(before.also_accepted)
    assert added == 1


def test_what_is_also_accepted_stands_in_the_expected_record_with_the_centre_as_its_source():
    merged = load_with(SHARED, None, (outcome("own-1", "Ni2+", "naoh", "tube", "bluish green"),))
    record = expect(merged, read_specimen(merged, "NiCl2.6H2O")).as_json()

    line = next(line for line in record["lines"] if line["test"] == "naoh")
    assert record["edition"] == merged.edition
    assert any("our trial" in source for other in line["also_accepted"] for source in other["sources"])


def test_an_ion_that_is_silent_can_be_given_an_outcome_that_is_also_accepted():
    silence = fact_at(KB, "Pb2+", ("naoh", "gas"))
    entry = own("outcome", "own-1", {"source": "our nose", "subject": "Pb2+", "test": "naoh", "facet": "gas", "seen": [
        {"step": step.step, "event": "smell", "smell": "faint"} for step in silence.seen]})
    merged = load_with(SHARED, None, (entry,))

    before, after = (observe(kb, "naoh", "Pb2+") for kb in (KB, merged))
    assert after.seen == before.seen and len(after.also_accepted) == len(before.also_accepted) + 1


def test_two_outcomes_for_one_fact_are_both_accepted():
    entries = (outcome("own-1", "Ni2+", "naoh", "tube", "blue"), outcome("own-2", "Ni2+", "naoh", "tube", "white"))
    merged = load_with(SHARED, None, entries)

    fact = merged.ions["Ni2+"].facts["naoh", "tube"]
    assert len(fact.also) == len(KB.ions["Ni2+"].facts["naoh", "tube"].also) + 2


def test_a_checked_layer_is_kept_and_read_back_the_same(tmp_path):
    entries = (outcome("own-1", "Ni2+", "naoh", "tube"), weaker("ammonia-dilute", 0.5))
    fresh = load_with(SHARED, tmp_path, entries)
    overlay._load_with.cache_clear()
    kept = load_with(SHARED, tmp_path, entries)

    assert list(tmp_path.glob(f"own-{fresh.edition}-*.pickle"))
    assert kept is not fresh and kept.edition == fresh.edition
    ammonia = [base.reagents["ammonia-dilute"] for base in (kept, fresh)]
    assert [getattr(ammonia[0], each.name) for each in fields(ammonia[0])] == [
        getattr(ammonia[1], each.name) for each in fields(ammonia[1])]


def test_entries_that_fail_are_not_kept_and_all_is_told(tmp_path):
    entries = (outcome("own-1", "Ni2+", "naoh", "tube", "blurple"), weaker("ammonia-dilute", 50))

    with pytest.raises(KnowledgeError) as refusal:
        load_with(SHARED, tmp_path, entries)

    assert {problem.entry for problem in refusal.value.problems} == set(entries)
    assert not list(tmp_path.glob("own-*"))


def test_those_that_work_go_on_working_beside_one_that_fails():
    bad, good = outcome("own-1", "Ni2+", "naoh", "tube", "blurple"), weaker("ammonia-dilute", 0.5)

    kept, problems = fitting(SHARED, None, (bad, good))

    assert kept == (good,)
    assert {problem.entry for problem in problems} == {bad}


@pytest.mark.parametrize(("data", "words"), [
    ({"subject": "Xx2+"}, "has no outcome of its own"),
    ({"facet": "tuke"}, "has no outcome of its own"),
    ({"seen": [{"step": "drops", "event": "precipitate"}]}, "is read at: excess"),
    ({"seen": [{"step": "drops", "event": "boom"}, {"step": "excess", "event": "none"}]}, "not 'boom'"),
    ({"seen": []}, "at least 1 item"),
    ({"equations": ["Ni2+ + OH- -> Ni(OH)2"]}, "balance"),
    ({"source": ""}, "who says so"),
])
def test_an_outcome_that_cannot_be_is_refused_in_words(data, words):
    whole = outcome("own-1", "Ni2+", "naoh", "tube").data | data

    with pytest.raises(KnowledgeError, match=words):
        load_with(SHARED, None, (own("outcome", "own-1", whole),))


def test_a_reagent_that_the_base_does_not_have_is_refused():
    with pytest.raises(KnowledgeError, match="the base has no reagent 'aether'"):
        load_with(SHARED, None, (own("reagent", "aether", {"source": "x", "reagent": {"strength_mol_L": 1.0}}),))


def test_an_entry_knows_no_keys_that_files_do_not_know():
    with pytest.raises(KnowledgeError, match="'colour' is not known here"):
        load_with(SHARED, None, (own("reagent", "ammonia-dilute", {"source": "x", "reagent": {"colour": 1}}),))


def test_every_check_of_the_base_runs_over_the_entries(monkeypatch):
    from examkit.chemistry.knowledge import check, own_entries

    ran = []
    spies = tuple((lambda base, folders, look=look: ran.append(look.__name__) or look(base, folders), needs)
                  for look, needs in CHECKS)
    monkeypatch.setattr(check, "CHECKS", spies)

    own_entries.layer_of(KB, (weaker("ammonia-dilute", 0.5),))

    assert ran == [look.__name__ for look, _needs in CHECKS]
