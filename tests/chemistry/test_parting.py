"""Pools: where two salts part, what each test is worth, how difficult a salt is, and for whose eyes."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.identify import salts_of_syllabus
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.parting import Course, Showing, course, hanging, parting_table
from examkit.chemistry.vision import TOLD_APART, VISIONS, alike_in_grey, distance, look_alike, place
from examkit.chemistry.worth import difficulty, worth

KB = load()
SCHEME = KB.schemes["semimicro"]
STAGES = {stage.test: KB.tests[stage.test].stage for stage in SCHEME.stages}
COURSES = {c.name: c for c in (course(KB, SCHEME, specimen) for specimen in salts_of_syllabus(KB, SCHEME))}
pools = st.lists(st.sampled_from(sorted(COURSES)), min_size=2, max_size=8, unique=True).map(
    lambda names: [COURSES[name] for name in names]
)


def pair(one, other, vision="usual"):
    return parting_table(KB, [COURSES[one], COURSES[other]], vision)[0]


def test_nickel_and_zinc_sulfate_part_at_first_sight():
    assert pair("NiSO4.6H2O", "ZnSO4.7H2O").first == "appearance"


def test_two_hydrates_of_one_salt_are_not_told_apart():
    assert pair("NiSO4.6H2O", "NiSO4.7H2O").tests == ()


def test_barium_and_strontium_sulfate_part_in_the_flame_by_colour_alone():
    found = pair("BaSO4", "SrSO4")

    assert found.first == "flame"
    assert found.by_colour_alone


def test_zinc_and_aluminium_sulfate_part_in_ammonia():
    assert "ammonia" in pair("ZnSO4.7H2O", "Al2(SO4)3.18H2O").tests


@settings(max_examples=40, deadline=None)
@given(pools)
def test_the_tests_of_a_scheme_bring_no_more_than_the_pool_holds(pool):
    """Entropy: never negative, no test brings more than all together, and a chain of tests only adds."""
    values = worth(KB, pool)
    together = sum(value.bits_in_turn for value in values)

    assert together <= len(pool).bit_length()
    assert all(value.bits_in_turn >= -1e-9 for value in values)
    assert all(value.bits <= together + 1e-9 for value in values)


def test_a_test_that_is_not_done_on_one_salt_still_tells_the_others_apart():
    """Barium sulfate dissolves in nothing, so that sodium hydroxide is not tried on it."""
    pool = [COURSES[name] for name in ("BaSO4", "CuSO4.5H2O", "NiSO4.6H2O", "FeSO4.7H2O")]
    bits = {value.test: value.bits for value in worth(KB, pool)}

    assert bits["naoh"] == pytest.approx(3 / 4)  # each of three is parted from two: log2(4 / 2); the fourth from none


def test_four_salts_that_all_differ_hold_two_bits():
    pool = [COURSES[name] for name in ("NiSO4.6H2O", "CuSO4.5H2O", "NH4Cl", "CaCO3")]

    assert sum(value.bits_in_turn for value in worth(KB, pool)) == pytest.approx(2)


@settings(max_examples=40, deadline=None)
@given(pools)
def test_look_alikes_only_become_fewer(pool):
    pairs = parting_table(KB, pool)
    for this in pool:
        counts = [n for _stage, n in difficulty(KB, STAGES, pool, pairs, this).look_alikes]
        assert all(before >= after for before, after in pairwise(counts))


def test_a_salt_among_look_alikes_is_more_difficult_than_one_that_stands_out():
    pool = [COURSES[n] for n in ("ZnSO4.7H2O", "NaCl", "KCl", "BaCl2.2H2O", "CuSO4.5H2O")]
    pairs = parting_table(KB, pool)
    number = {c.name: difficulty(KB, STAGES, pool, pairs, c).number for c in pool}

    assert number["CuSO4.5H2O"] == min(number.values())


def test_red_and_green_are_near_for_deutan_eyes_and_far_for_usual_ones():
    """Common practice, no source: red-green confusion is what deutan vision means."""
    usual, deutan = (distance(KB, "reddish brown", "green", vision) for vision in ("usual", "deutan"))

    assert deutan < usual


@pytest.mark.parametrize("vision", VISIONS)
def test_black_and_white_are_told_apart_by_all_eyes(vision):
    assert not look_alike(KB, "black", "white", vision)


def test_white_stands_at_the_top_of_the_lightness_axis():
    """CIELAB (CIE 15): white has L* 100 and black 0, both without hue."""
    assert place(KB, "black")[0] < 15 < 95 < place(KB, "white")[0]


def test_fewer_pairs_part_for_eyes_that_see_fewer_colours():
    some = [COURSES[name] for name in sorted(COURSES)[::6]]
    usual = {(p.one, p.other): set(p.tests) for p in parting_table(KB, some)}
    for vision in VISIONS[1:]:
        for found in parting_table(KB, some, vision):
            assert set(found.tests) <= usual[found.one, found.other]


def test_most_swatches_come_from_a_survey_and_all_say_where_from():
    kinds = [{KB.sources[cite.key].kind for cite in colour.sources} for colour in KB.colours.values()]

    assert all(kinds)
    assert sum("read" in kind for kind in kinds) >= 0.9 * len(kinds)


@pytest.mark.parametrize(("word", "swatch"), [
    ("green", "#15b01a"), ("brick red", "#8f1402"), ("lilac", "#cea2fd"), ("pale grey", "#d8dcd6"),
    ("bluish black", "#202428"),
])
def test_a_swatch_is_the_colour_of_its_name_in_the_survey_or_the_standard(word, swatch):
    """Sources xkcd-colour-survey and, for the last, iscc-nbs-centroids."""
    assert KB.colours[word].swatch == swatch


def test_two_colours_of_neighbouring_names_are_nearer_than_what_is_surely_told_apart():
    """Centroids of strong orange yellow and vivid orange yellow in the source iscc-nbs-centroids: one name apart."""
    from coloraide import Color

    assert Color("#eaa221").delta_e(Color("#f6a600"), method="2000") < TOLD_APART


def test_white_and_black_precipitates_part_without_hues_but_two_hues_as_light_as_each_other_do_not():
    """Own rule (memory): light, middle and dark are remembered, hues of one lightness are not told."""
    assert not alike_in_grey(KB, "white", "black")
    assert alike_in_grey(KB, "red", "dark green") and alike_in_grey(KB, "white", "pale yellow")


def test_a_black_and_a_white_sulfide_are_not_told_by_colour_alone():
    """Nickel and zinc, school scheme: black NiS, white ZnS (common practice)."""
    assert not pair("NiSO4.6H2O", "ZnSO4.7H2O").by_colour_alone


@settings(max_examples=30, deadline=None)
@given(pools)
def test_what_hangs_on_a_marginal_result_is_not_surely_parted(pool):
    sure = {(found.one, found.other): found.tests for found in parting_table(KB, pool)}
    for found in hanging(KB, pool):
        assert found.tests and not sure[found.one, found.other]


def test_a_pair_that_only_a_marginal_result_parts_is_found():
    show = lambda *outcomes, marginal=False: {"tube": Showing(({o.step: o for o in outcomes},), marginal)}  # noqa: E731
    falls = Outcome("precipitate", "reagent", ("white",))
    faint, none = Course("faint", {"group-1": show(falls, marginal=True)}), Course("none", {"group-1": show()})
    firm = Course("firm", {"group-1": show(falls)})

    assert [(found.one, found.other) for found in hanging(KB, (faint, none))] == [("faint", "none")]
    assert hanging(KB, (firm, none)) == ()
