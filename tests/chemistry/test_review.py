"""What an examiner's review of every expected record found, held for good."""

import pytest

from examkit.chemistry.backwards import points_to
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.sight import Portion, see
from examkit.chemistry.specimen import read_specimen

KB = load()


def lines(salt, scheme="semimicro"):
    """The expected lines of a salt by test."""
    record = expect(KB, read_specimen(KB, salt, KB.schemes[scheme].grams), scheme).as_json()
    return {line["test"]: line for line in record["lines"]}


def back(scheme, test, facet, *seen):
    """The ions that outcomes in one facet point to."""
    return set(points_to(KB, KB.schemes[scheme], KB.tests[test], tuple((facet, outcome) for outcome in seen)))


def test_a_smell_points_only_to_what_smells_so():
    assert back("semimicro", "appearance", "odour", Outcome("smell", smell="ammonia")) == {"NH4+"}


def test_a_smell_that_is_only_called_pungent_points_to_every_gas_of_that_look():
    pungent = Outcome("gas", step="warm", colours=("colourless",), smell="pungent")

    assert "NH4+" in back("semimicro", "ammonium", "gas", pungent)


def test_sulfur_is_not_the_chloride_of_group_1():
    sulfur = Outcome(
        "precipitate", step="reagent", colours=("pale yellow", "white"), texture="milky turbidity", product="S"
    )

    assert back("mixture", "group-1", "tube", sulfur) == {"S2O3^2-"}


def test_a_yellow_sulfide_does_not_point_to_the_oxidants_that_give_sulfur():
    sulfide = Outcome("precipitate", step="reagent", colours=("yellow",), product="CdS")

    assert not back("mixture", "group-2", "tube", sulfide) & {"Fe3+", "NO2-", "SO3^2-", "CrO4^2-", "MnO4-"}


def test_a_pale_turbidity_may_be_sulfur():
    pale = Outcome("precipitate", step="reagent", colours=("pale yellow",), texture="milky turbidity")

    assert "Fe3+" in back("semimicro", "group-2", "tube", pale)


def test_what_oxalate_throws_down_in_the_hydroxide_group_does_not_come_again():
    found = lines("CaC2O4.H2O")

    assert "Ca2+" in found["group-3a"]["points_to"]
    assert not found["group-4"]["done"]


def test_a_coloured_liquid_does_not_hide_a_precipitate():
    tube = KB.tests["group-1"].facets["tube"]

    sight = see(KB, KB.tests["group-1"], tube, Portion(("Ag+", "CrO4^2-")))

    assert any(outcome.event == "precipitate" for outcome in sight.seen)


@pytest.mark.parametrize("salt", ["KNO3", "Zn(NO3)2.6H2O"])
def test_no_equation_is_printed_where_nothing_is_seen(salt):
    line = lines(salt)["group-2"]

    assert (line["text"], line["equations"]) == ("no precipitate", [])


@pytest.mark.parametrize("salt", sorted(KB.salts))
def test_no_line_rules_out_what_is_there(salt):
    for test, line in lines(salt).items():
        assert not set(KB.salts[salt].ions) & set(line["rules_out"]), (test, line["text"])
