"""A whole record read backwards: which salts fit, and where each other one was ruled out."""

import pytest

from examkit.chemistry.backwards import in_full
from examkit.chemistry.bench import walk
from examkit.chemistry.equilibria.near import doubtful
from examkit.chemistry.identify import identify, salts_of_syllabus, verdict
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.specimen import read_specimen

KB = load()
SCHEME = KB.schemes["semimicro"]
SALTS = [specimen.salts[0].formula for specimen in salts_of_syllabus(KB, SCHEME)]


def record_of(name):
    """What a careful candidate writes down with this salt."""
    visits = (visit for visit in walk(KB, SCHEME, read_specimen(KB, name)) if visit.done)
    return {
        visit.test.id: in_full(visit.test, tuple((s.facet, o) for s in visit.sights for o in s.seen))
        for visit in visits
    }


def test_the_record_of_nickel_chloride_fits_nickel_chloride_alone():
    verdicts = identify(KB, SCHEME, record_of("NiCl2.6H2O"))

    assert [v.specimen.salts[0].formula for v in verdicts if v.fits] == ["NiCl2.6H2O"]


@pytest.mark.parametrize("salt", SALTS)
def test_a_specimen_always_fits_its_own_record(salt):
    assert verdict(KB, SCHEME, record_of(salt), read_specimen(KB, salt)).fits


def test_each_other_salt_says_where_it_was_ruled_out_and_what_it_would_have_shown():
    found = {v.specimen.salts[0].formula: v for v in identify(KB, SCHEME, record_of("ZnSO4.7H2O"))}

    assert found["NiCl2.6H2O"].test == "appearance"
    assert found["BaSO4"].test == "solubility"
    assert found["BaSO4"].would_show[-1].event == "none"


def test_one_line_leaves_many_and_each_more_leaves_no_more_than_before():
    whole = record_of("CuSO4.5H2O")
    left = len(SALTS)
    for count in range(1, len(whole) + 1):
        part = dict(list(whole.items())[:count])
        fitting = sum(v.fits for v in identify(KB, SCHEME, part))
        assert 1 <= fitting <= left
        left = fitting


def test_an_empty_record_rules_out_nothing():
    assert all(v.fits for v in identify(KB, SCHEME, {}))


def test_another_accepted_outcome_does_not_rule_the_salt_out():
    lead = read_specimen(KB, "Pb(NO3)2")
    pale = {"flame": (("flame", Outcome("none", step="naked eye")),)}

    assert verdict(KB, SCHEME, pale, lead).fits  # a published alternative: no distinct colour


def test_nothing_seen_does_not_rule_out_a_salt_whose_own_amounts_may_show_nothing():
    """Calculated: the first drop of alkali throws down 2 % of so much lead, just over the limit (index +0.1)."""
    nothing = {"naoh": tuple(("tube", Outcome("none", step=step)) for step in ("drops", "excess"))}

    assert ("naoh", "tube") in doubtful(KB, SCHEME, read_specimen(KB, "PbCO3"))
    assert verdict(KB, SCHEME, nothing, read_specimen(KB, "PbCO3")).fits
    assert verdict(KB, SCHEME, nothing, read_specimen(KB, "ZnSO4.7H2O")).test == "naoh"
