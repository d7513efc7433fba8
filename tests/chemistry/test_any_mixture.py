"""One to three of any salts of the base through every scheme, whatever its syllabus: nothing breaks or vanishes."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.bench import Bench, walk
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.sight import Portion, look
from examkit.chemistry.specimen import Part, Specimen
from examkit.chemistry.tube import after, taken, throws_down

KB = load()
SALTS = sorted(KB.salts)
SCHEMES = sorted(KB.schemes)


def specimen_of(names, grams=0.5):
    return Specimen(tuple(Part(KB.salts[name], grams) for name in names))


names = st.lists(st.sampled_from(SALTS), min_size=1, max_size=3, unique=True)
schemes = st.sampled_from(SCHEMES)


def forms(scheme, ion):
    """The ion and all that a scheme turns it into on its way."""
    found = [ion]
    for stage in scheme.stages:
        found += [stage.becomes[form] for form in found if form in stage.becomes]
    return set(found)


def racks(scheme, specimen):
    """The vessels before the first stage, and after each that works on one."""
    bench = Bench(KB, scheme, specimen)
    rack = bench.rack
    yield rack
    for stage in scheme.stages:
        fraction = taken(rack, stage) if KB.tests[stage.test].portion == "tube" else None
        if fraction:
            rack = after(KB, rack, stage, fraction)
            yield rack


def cations_in(rack):
    return {ion for fraction in rack.values() for ion in fraction.cations}


@settings(max_examples=120, deadline=None)
@given(names, schemes)
def test_any_salts_of_the_base_run_through_every_scheme(chosen, scheme):
    record = expect(KB, specimen_of(chosen), scheme)

    assert [line.test for line in record.lines] == [stage.test for stage in KB.schemes[scheme].stages]
    assert all(line.observation.text for line in record.lines if line.done)
    assert all(line.why_not for line in record.lines if not line.done)
    json.dumps(record.as_json())


@pytest.mark.parametrize("scheme", SCHEMES)
def test_every_single_salt_of_the_base_runs_through_every_scheme(scheme):
    for salt in SALTS:
        assert expect(KB, specimen_of([salt]), scheme).lines, salt


@settings(max_examples=150, deadline=None)
@given(names, schemes)
def test_every_cation_is_in_some_vessel_from_the_beginning_to_the_end(chosen, scheme):
    specimen = specimen_of(chosen)
    stages = KB.schemes[scheme]
    for rack in racks(stages, specimen):
        held = cations_in(rack)
        assert all(forms(stages, ion) & held for ion in specimen.cations)


@settings(max_examples=100, deadline=None)
@given(names, schemes, st.sampled_from(SALTS))
def test_adding_a_salt_never_makes_an_ion_vanish(chosen, scheme, added):
    """Each cation is still in some vessel at the end; where, the other may decide (phosphate, sulfate)."""
    stages = KB.schemes[scheme]
    fewer, more = (list(racks(stages, specimen_of(n)))[-1] for n in (chosen, dict.fromkeys([*chosen, added])))

    assert all(forms(stages, ion) & cations_in(more) for ion in specimen_of(chosen).cations)
    assert {f for ion in cations_in(fewer) for f in forms(stages, ion)} & cations_in(more) or not cations_in(fewer)


@settings(max_examples=100, deadline=None)
@given(names, schemes, st.sampled_from(SALTS))
def test_adding_a_salt_never_takes_away_that_something_is_seen(chosen, scheme, added):
    """In tests on the solid something is still seen where it was; hidden, it is accepted all the same."""
    before = {v.test.id: v for v in walk(KB, KB.schemes[scheme], specimen_of(chosen)) if v.done}
    after_ = {v.test.id: v for v in walk(KB, KB.schemes[scheme], specimen_of(dict.fromkeys([*chosen, added]))) if v.done}
    for test in set(before) & set(after_):
        if KB.tests[test].portion == "solid":
            seen = {sight.facet for sight in before[test].sights if sight.positive}
            assert seen <= {sight.facet for sight in after_[test].sights if sight.positive}, test


@settings(max_examples=100, deadline=None)
@given(names, schemes)
def test_the_order_of_the_salts_changes_nothing_that_is_seen(chosen, scheme):
    def seen(order):
        lines = expect(KB, specimen_of(order), scheme).lines
        return [(x.test, x.done, {(f, o) for f, o in x.observation.seen} if x.done else x.why_not) for x in lines]

    assert seen(chosen) == seen(chosen[::-1])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(sorted(KB.ions)), min_size=1, max_size=6, unique=True), st.sampled_from(sorted(KB.tests)))
def test_any_ions_together_can_be_looked_at_in_any_test(ions, test):
    for sight in look(KB, KB.tests[test], Portion(tuple(ions))):
        assert sight.seen
        assert set(sight.by) <= set(ions)


def test_every_cation_falls_in_some_group_or_is_left_with_the_alkalis():
    """Alone, in the scheme for mixtures: which group is the trade's, and stands in the scheme."""
    scheme = KB.schemes["mixture"]
    last = set(list(scheme.groups.values())[-1]["cations"])
    for ion in scheme.cations:
        groups = [s for s in scheme.stages if s.group and KB.tests[s.test].portion == "tube"]
        fallen = [s.group for s in groups for form in forms(scheme, ion)
                  if throws_down(KB.ions[form].facts.get((s.test, "tube")))]
        assert fallen or ion in last or ion == "NH4+", ion
