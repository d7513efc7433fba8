"""The walk through the scheme: what is done, what is not and why, and what stays in the tube."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.bench import walk
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import Part, Specimen, read_specimen, settling
from examkit.chemistry.tube import Fraction, split

KB = load()
SCHEME = KB.schemes["semimicro"]
KINDS = ("cation", "anion")
SYLLABUS = {*SCHEME.cations, *SCHEME.anions}
SALTS = sorted(salt.formula for salt in KB.salts.values() if SYLLABUS.issuperset(salt.ions))
specimens = st.lists(st.sampled_from(SALTS), min_size=1, max_size=3, unique=True).map(
    lambda names: Specimen(tuple(Part(KB.salts[name], 0.5) for name in names))
)


def visits(text):
    return {visit.test.id: visit for visit in walk(KB, SCHEME, read_specimen(KB, text))}


def test_one_salt_stops_at_the_first_group_that_answers():
    walked = visits("NiCl2.6H2O")

    assert [walked[g].done for g in ("group-1", "group-2", "group-3a", "group-3b")] == [True] * 4
    assert walked["group-4"].why_not == "not needed: group IIIB has answered, and the salt has one cation"


def test_a_mixture_goes_on_with_the_centrifugate():
    walked = visits("CuSO4.5H2O + ZnSO4.7H2O")

    assert walked["group-2"].sights[0].by == ("Cu2+",)
    assert walked["group-3b"].portion.ions == ("Zn2+", "SO4^2-")
    assert walked["group-3b"].sights[0].by == ("Zn2+",)


def test_lead_answers_in_part_and_shows_again_with_hydrogen_sulfide():
    walked = visits("Pb(NO3)2 + Zn(NO3)2.6H2O")

    assert walked["group-1"].sights[0].by == ("Pb2+",)
    assert walked["group-2"].sights[0].seen[0].colours[0] == "black"


def test_salts_that_meet_in_water_leave_what_nothing_dissolves():
    """Lead sulfate from lead nitrate and zinc sulfate: common practice, no source."""
    walked = visits("Pb(NO3)2 + ZnSO4.7H2O")

    assert walked["group-1"].portion.ions == ("Zn2+", "NO3-", "SO4^2-")


def test_what_the_other_salt_is_too_little_for_stays_dissolved_in_part():
    lead, zinc = (KB.salts[name] for name in ("Pb(NO3)2", "ZnSO4.7H2O"))

    assert settling(KB, Specimen((Part(lead, 0.5), Part(zinc, 0.01)))) == {"Pb2+": False}
    assert settling(KB, Specimen((Part(lead, 0.5), Part(zinc, 0.5)))) == {"Pb2+": True}
    assert settling(KB, Specimen((Part(lead, 0.5),))) == {}


def test_iron_ii_is_oxidised_before_the_hydroxide_group():
    walked = visits("FeSO4.7H2O")

    assert walked["group-3a"].portion.ions[0] == "Fe3+"
    assert walked["group-3a"].sights[0].seen[0].product == "Fe(OH)3"
    assert walked["naoh"].portion.ions[0] == "Fe2+"  # tried on the original solution


def test_iron_iii_gives_sulfur_with_hydrogen_sulfide_and_goes_on():
    walked = visits("FeCl3.6H2O")

    assert walked["group-2"].sights[0].seen[0].product == "S"
    assert walked["group-3a"].sights[0].positive


@pytest.mark.parametrize(
    ("salt", "test", "done"),
    [
        ("ZnSO4.7H2O", "borax-bead", False),
        ("NiCl2.6H2O", "borax-bead", True),
        ("ZnSO4.7H2O", "cobalt-nitrate", True),
        ("NiCl2.6H2O", "cobalt-nitrate", False),
        ("Na2CO3", "anion-concentrated-acid", False),
        ("NaCl", "anion-concentrated-acid", True),
    ],
)
def test_tests_with_a_condition_are_done_only_where_it_holds(salt, test, done):
    assert visits(salt)[test].done is done


def test_a_salt_that_nothing_dissolves_has_no_original_solution():
    walked = visits("BaSO4")

    assert walked["group-1"].why_not == "not possible: the salt does not dissolve, even in acid"
    assert walked["anion-barium-chloride"].done  # from the sodium carbonate extract


def test_sodium_drowns_the_flame_but_not_potassium_through_blue_glass():
    flame = visits("KCl + NaCl")["flame"].sights[0]

    assert [o.colours[0] for o in flame.seen if o.step == "naked eye"] == ["golden yellow"]
    assert [o.colours[0] for o in flame.seen if o.step == "blue glass"] == ["crimson"]


def test_a_dark_precipitate_hides_a_pale_one_which_is_accepted_all_the_same():
    sulfides = visits("NiSO4.6H2O + ZnSO4.7H2O")["group-3b"].sights[0]

    assert sulfides.seen[0].colours == ("black",)
    assert any("white" in other.seen[0].colours for other in sulfides.also)


def test_phosphate_throws_barium_down_in_the_hydroxide_group():
    hydroxides = visits("BaCl2.2H2O + Na3PO4.12H2O")["group-3a"].sights[0]

    assert hydroxides.seen[0].event == "precipitate"


def fallen(specimen):
    """The cations that some group reagent throws down on this specimen's walk, and what the last one leaves."""
    tubes = [v for v in walk(KB, SCHEME, specimen) if v.done and v.test.portion == "tube"]
    down, left = set(settling(KB, specimen)), set()
    for visit in tubes:
        fraction = Fraction(*([ion for ion in visit.portion.ions if KB.ions[ion].kind == kind] for kind in KINDS))
        precipitate, centrifugate = split(KB, visit.test.id, fraction)
        down |= set(precipitate.cations)
        left = set(centrifugate.cations)
    return down, left


@settings(max_examples=150, deadline=None)
@given(specimens)
def test_every_cation_ends_in_a_precipitate_or_in_the_last_centrifugate(specimen):
    dissolved = {ion for salt in specimen.salts if salt.dissolves_in != "nothing" for ion in salt.cations}
    down, left = fallen(specimen)
    if down | left:
        forms = {"Fe2+": "Fe3+"}
        assert {ion for ion in dissolved if not {ion, forms.get(ion)} & (down | left)} <= {"NH4+"}


@settings(max_examples=150, deadline=None)
@given(specimens)
def test_a_walk_visits_every_test_of_the_scheme_in_order(specimen):
    assert [v.test.id for v in walk(KB, SCHEME, specimen)] == [stage.test for stage in SCHEME.stages]


@settings(max_examples=100, deadline=None)
@given(specimens, st.sampled_from(SALTS))
def test_adding_a_salt_never_makes_an_ion_vanish(specimen, added):
    """What fell in some group still falls in one; it may be another (phosphate takes calcium to an earlier)."""
    if added in {salt.formula for salt in specimen.salts} or len(specimen.cations) == 1:
        return
    more = Specimen((*specimen.parts, Part(KB.salts[added], 0.5)))

    assert fallen(specimen)[0] <= fallen(more)[0]
