"""Inferences judged: subsets, extras, groups, firmness, and the error carried forward."""

from fractions import Fraction

import pytest

from grading.scoring.lines import score_line
from tests.reading.bench import bench, expected

NICKEL = "NiCl2.6H2O"


def inferred(test, inference, observation=None, specimen=NICKEL, mark_scheme="common"):
    """The award for an inference, beside the expected observation or another one."""
    record = expected(specimen)
    line = next(line for line in record["lines"] if line["test"] == test)
    seen = line["text"] if observation is None else observation
    present = (*record["cations"], *record["anions"])
    return score_line(bench(mark_scheme), line, present, seen, inference).inference


@pytest.mark.parametrize(
    "text",
    ["Ni2+", "Ni2+ may be present", "Ni2+ or Cu2+ may be present", "may be Ni, Cu", "Cu2+ may be present"],
)
def test_any_of_the_ions_pointed_to_is_right(text):
    assert inferred("appearance", text).share == 1


def test_one_wrong_ion_of_several_halves_and_more_leave_nothing():
    assert inferred("group-3b", "Ni2+ or Zn2+ may be present").share == Fraction(1, 2)
    assert inferred("group-3b", "Ni2+, Co2+ or Zn2+ may be present").share == Fraction(1, 2)
    assert inferred("group-3b", "Ni2+, Zn2+, Ba2+ or Mg2+ may be present").share == 0
    assert inferred("group-3b", "Ni2+ or Zn2+ may be present", mark_scheme="no-halves").share == 0


def test_a_wrong_ion_alone_earns_nothing():
    given = inferred("group-3b", "Zn2+ present")

    assert given.share == 0
    assert "points to" in given.reason


@pytest.mark.parametrize(
    ("test", "text"),
    [
        ("group-1", "group I absent"),
        ("group-2", "Group II absent"),
        ("group-3a", "group IIIA absent"),
        ("group-2", "2nd group absent"),
        ("group-2", "Cu2+ absent"),
        ("ammonium", "NH4+ absent"),
        ("flame", "Ba2+, Sr2+, Ca2+ absent"),
        ("group-3a", "Al3+, Cr3+ absent"),
    ],
)
def test_what_is_ruled_out_is_rightly_said_to_be_absent(test, text):
    assert inferred(test, text).share == 1


def test_an_ion_that_is_not_ruled_out_is_not_absent():
    assert inferred("flame", "Ni2+ absent").share == 0


def test_only_absent_ions_where_some_are_pointed_to_earn_a_part():
    assert inferred("group-3b", "Zn2+ absent").share == Fraction(1, 2)


def test_the_group_the_family_or_the_gas_alone_earn_half_where_an_ion_could_be_named():
    assert inferred("group-3b", "group IIIB present").share == Fraction(1, 2)
    assert inferred("group-3b", "group IIIB present", mark_scheme="mixture").share == 1
    assert inferred("group-4", "alkaline earth metal", specimen="BaCl2.2H2O").share == Fraction(1, 2)
    assert inferred("anion-dilute-acid", "CO2", specimen="Na2CO3.10H2O").share == Fraction(1, 2)
    assert inferred("anion-dilute-acid", "SO2", specimen="Na2CO3.10H2O").share == 0
    assert inferred("anion-dilute-acid", "CO2, so carbonate", specimen="Na2CO3.10H2O").share == 1


def test_a_right_ion_that_does_not_follow_from_what_was_recorded_earns_nothing():
    assert inferred("group-3b", "Ni2+", "white ppt").share == 0
    assert inferred("group-3b", "Ni2+", "no ppt").share == 0
    assert inferred("group-3b", "Ni2+", "").share == 0


def test_a_colour_that_was_left_out_does_not_cost_the_inference():
    assert inferred("group-3b", "Ni2+", "ppt").share == 1


def test_confirmed_is_too_firm_where_several_ions_fit_if_the_scheme_says_so():
    assert inferred("appearance", "Ni2+ confirmed").share == 1
    assert inferred("appearance", "Ni2+ confirmed", mark_scheme="mixture").share == Fraction(1, 2)
    assert inferred("confirm-cation", "Ni2+ confirmed").share == 1


def test_nothing_written_earns_nothing():
    assert inferred("group-3b", "").reason == "Nothing is written."
    dash = inferred("group-3b", "–")
    assert (dash.share, dash.sure, dash.reason) == (0, True, "A dash infers nothing.")


def test_an_inference_that_follows_from_a_wrong_observation_is_carried_forward():
    given = inferred("group-3b", "Zn2+ may be present", "white ppt")

    assert (given.share, given.carried) == (1, True)
    assert "error is carried forward" in given.reason


def test_nothing_is_carried_where_the_scheme_says_so():
    assert inferred("group-3b", "Zn2+ may be present", "white ppt", mark_scheme="no-halves").share == 0


def test_nothing_is_carried_from_an_empty_field():
    given = inferred("group-3b", "Zn2+ may be present", "")

    assert (given.share, given.carried) == (0, False)


def test_what_is_carried_from_words_that_could_not_all_be_read_goes_to_a_person():
    assert inferred("group-3b", "Zn2+ may be present", "white ppt wibbly").why


def test_what_does_not_follow_from_the_wrong_observation_is_not_carried():
    assert inferred("group-3b", "Ba2+ may be present", "white ppt").share == 0


def test_a_contradiction_is_shown_to_a_person():
    assert inferred("group-3b", "Ni2+ present, Ni2+ absent").why


def test_words_that_name_no_ion_are_shown_to_a_person():
    assert inferred("group-3b", "wibbly wobbly").why


def test_what_is_just_as_expected_says_no_more_than_is_expected():
    brown = "brown ppt, insoluble in excess"

    assert inferred("naoh", "Fe3+", brown, "Fe(NO3)3.9H2O").share == 1
    assert inferred("naoh", "Fe2+ or Fe3+", brown, "Fe(NO3)3.9H2O").share == Fraction(1, 2)


def test_an_ion_of_which_nothing_is_ever_seen_in_a_test_is_not_excluded_by_it():
    assert inferred("anion-dilute-acid", "CO3^2-, SO3^2- and Cl- absent").share == Fraction(1, 2)
    assert inferred("anion-dilute-acid", "CO3^2-, SO3^2-, S^2- absent").share == 1


def test_what_goes_with_the_observation_by_some_account_follows_from_it():
    pink = inferred("naoh", "Co2+", "pink ppt, insoluble in excess", "CoSO4.7H2O")

    assert pink.share == 1
    assert inferred("naoh", "Co2+", "white ppt, insoluble in excess", "CoSO4.7H2O").share == 0
    assert inferred("anion-silver-nitrate", "Cl-", "No ppt. White ppt soluble in ammonia").share == 0


def test_all_ions_of_the_group_are_as_much_as_the_group():
    said = "Aluminium, chromium or iron"

    assert inferred("group-3a", said, "brown ppt", "Fe(NO3)3.9H2O").share == Fraction(1, 2)


def test_absent_without_a_name_is_the_group_of_the_test():
    assert inferred("group-2", "abs.").share == 1
    assert inferred("group-2", "confirmed").share == 0
    assert inferred("flame", "absent").why


def test_the_group_may_have_the_numeral_of_another_course_of_analysis():
    assert inferred("group-3b", "group IV absent", specimen="BaCl2.2H2O").share == 1
    assert inferred("group-3b", "group II absent", specimen="BaCl2.2H2O").share == 0


def test_the_group_is_absent_where_only_sulfur_fell():
    assert inferred("group-2", "group II absent", specimen="KNO2").share == 1
    assert inferred("group-2", "group II present", specimen="KNO2").share == 0


def test_what_cannot_be_read_is_judged_by_what_is_expected_and_goes_to_a_person():
    given = inferred("group-1", "group I absent", "the tube looked wobbelig")

    assert (given.share, bool(given.why)) == (1, True)
    assert given.other[0][0] == 0
    assert inferred("group-1", "group I absent", "—").share == 0


def test_an_inference_that_stands_with_the_observation_counts_and_goes_to_a_person():
    given = inferred("ammonium", "", "no smell of ammonia, hence NH4+ absent")

    assert (given.share, bool(given.why)) == (1, True)


def test_ions_rightly_excluded_beside_one_that_is_wrong_are_half_right():
    assert inferred("group-3b", "Ni2+, Co2+ absent, Zn2+ present", specimen="BaCl2.2H2O").share == Fraction(1, 2)
    assert inferred("group-3b", "Zn2+ present", specimen="BaCl2.2H2O").share == 0


def test_the_gas_of_the_ion_in_another_test_is_still_only_the_gas():
    given = inferred("confirm-anion", "SO2", "permanganate decolourised", specimen="K2SO3")

    assert given.share == Fraction(1, 2)


def test_the_gas_that_a_paper_tells_is_what_the_candidate_saw():
    seen = "gas turns lime water milky, residue white hot and cold"

    assert inferred("dry-heating", "CO3^2-, maybe Ca2+", seen, "ZnCO3").share == 1


def test_alternatives_listed_beside_alternatives_earn_nothing():
    assert inferred("anion-silver-nitrate", "Cl-, Br-, I-", "white / cream / yellow ppt", "KBr").share == 0
    assert inferred("anion-silver-nitrate", "Cl-, Br-, I-, PO4 3-", "white/yellow ppt", "KNO3").share == 0
    assert inferred("anion-barium-chloride", "SO4 2- / absent", "white ppt / no ppt", "KNO3").share == 0


def test_what_may_be_there_or_not_earns_nothing():
    assert inferred("group-4", "Ba2+ present or absent").share == 0


def test_a_sign_of_denial_behind_the_names_denies_them():
    assert inferred("group-2", "gr II (–)").share == 1
    assert inferred("flame", "Ba2+, Ca2+ ∅").share == 1
    assert inferred("anion-silver-nitrate", "X- absent", specimen="KNO2").share == 1


def test_what_is_denied_across_brackets_is_shown_both_ways():
    given = inferred("appearance", "Ni2+ (Cu2+ excluded)")

    assert (given.share, given.why) == (1, ("what is denied can be taken in two ways",))


def test_a_later_group_is_not_excluded_by_an_earlier_one():
    assert inferred("group-2", "groups I and II absent").share == 1
    assert inferred("group-2", "groups II and IV absent").share == Fraction(1, 2)


def test_what_need_not_be_inferred_is_told_but_does_not_count():
    given = inferred("solubility", "Ni2+ likely")

    assert (given.share, given.counts) == (1, False)
    assert inferred("solubility", "Cu2+ likely").share == 0


def test_a_list_of_everything_earns_nothing_even_if_half_of_it_is_right():
    said = "SO4 2-, CO3 2-, PO4 3-, Cl-, NO3-, S2-"

    assert inferred("anion-barium-chloride", said, "white precipitate", "KI").share == 0


def test_lime_water_that_stays_clear_excludes_carbonate():
    seen = "effervescence but the lime water remained clear"

    assert inferred("anion-dilute-acid", "CO3^2- absent", seen, "BaCl2.2H2O").share == 1


def test_a_word_that_is_near_to_no_name_and_no_denial_needs_no_person():
    assert not inferred("group-3b", "I conclude Ni2+ wobbly").why
    assert inferred("group-3b", "Ni2+ abzent").why


def test_a_colour_of_the_liquid_in_excess_says_that_it_dissolved():
    for seen in ("blue precipitate, in excess deep blue solution", "blue ppt, dissolves in excess to deep blue"):
        assert inferred("ammonia", "Cu2+", seen, "CoSO4.7H2O").share == 1
    assert inferred("naoh", "Zn2+", "white ppt, clear in excess", "MgSO4.7H2O").share == 1


def test_a_solid_that_is_still_there_is_one_that_does_not_dissolve():
    seen = "white ppt; with HCl ppt still there"

    assert inferred("anion-barium-chloride", "SO4 2-", seen, "Na2HPO4.12H2O").share == 1


def test_what_would_follow_from_the_words_alone_is_shown_beside_what_is_expected():
    given = inferred("ammonia", "Al3+, Pb2+", "white ppt, insoluble in excess", "MnSO4.H2O")

    assert (given.share, bool(given.why)) == (0, True)
