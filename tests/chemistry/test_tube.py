"""Fractions: what falls, what dissolves, what goes on, and under which name."""

import dataclasses

import pytest

from examkit.chemistry.bench import walk
from examkit.chemistry.knowledge.citations import Citation
from examkit.chemistry.knowledge.model import Fact, Outcome
from examkit.chemistry.knowledge.work import Stage
from examkit.chemistry.specimen import read_specimen
from examkit.chemistry.tube import Fraction, after, reached, split, start, taken


def test_a_group_reagent_splits_the_solution(kb):
    precipitate, centrifugate = split(kb, "group-3b", Fraction(("Zn2+", "Mg2+"), ("SO4^2-",)))

    assert (precipitate.cations, precipitate.solid) == (("Zn2+",), True)
    assert (centrifugate.cations, centrifugate.anions) == (("Mg2+",), ("SO4^2-",))


def test_what_falls_in_part_is_in_both(kb):
    precipitate, centrifugate = split(kb, "group-1", Fraction(("Pb2+", "Cu2+")))

    assert precipitate.cations == ("Pb2+",)
    assert centrifugate.cations == ("Pb2+", "Cu2+")


def test_sulfur_from_an_oxidant_takes_no_ion_with_it(kb):
    precipitate, centrifugate = split(kb, "group-2", Fraction(("Fe3+",)))

    assert precipitate.cations == ()
    assert centrifugate.cations == ("Fe3+",)


def test_a_washed_precipitate_stays_unless_the_reagent_dissolves_it(kb):
    """Sodium hydroxide on the hydroxides: aluminium goes into solution, iron stays (common practice)."""
    dissolving = Fact("Al3+", "group-5", "tube", (Outcome("dissolves", colours=("colourless",)),), (Citation("memory"),))
    aluminium = dataclasses.replace(kb.ions["Al3+"], facts=kb.ions["Al3+"].facts | {("group-5", "tube"): dissolving})
    other = dataclasses.replace(kb, ions=kb.ions | {"Al3+": aluminium})

    residue, solution = split(other, "group-5", Fraction(("Al3+", "Fe3+"), (), True))

    assert residue.cations == ("Fe3+",)
    assert solution.cations == ("Al3+",)


def test_a_stage_names_what_it_leaves(kb):
    stage = Stage("group-3b", precipitate="sulfides", solution="filtrate")
    rack = start(("Zn2+", "Ca2+"), ("Cl-",))

    rack = after(kb, rack, stage, taken(rack, stage))

    assert set(rack) == {"sulfides", "filtrate"}
    assert rack["filtrate"].cations == ("Ca2+",)


def test_ions_are_changed_and_anions_removed_before_the_test(kb):
    stage = Stage("group-3a", becomes={"Fe2+": "Fe3+"}, removes=("PO4^3-",))

    assert taken(start(("Fe2+",), ("PO4^3-", "Cl-")), stage).ions == ("Fe3+", "Cl-")


def test_a_fraction_that_nothing_led_to_is_none(kb):
    assert taken(start(("Zn2+",), ()), Stage("group-2", takes="sulfides")) is None


@pytest.mark.parametrize(("ion", "test", "form"), [
    ("Zn2+", "group-3b", "Zn2+"), ("Fe2+", "group-3b", None), ("Fe2+", "group-3a", "Fe3+"), ("Pb2+", "group-2", "Pb2+"),
    ("Pb2+", "group-3a", None), ("Mg2+", "group-5", "Mg2+"),
])
def test_an_ion_alone_reaches_a_test_or_has_fallen_before(kb, scheme, ion, test, form):
    assert reached(kb, scheme, ion, kb.tests[test]) == form


def test_a_stage_that_takes_a_fraction_of_another_works_on_it_alone(kb, scheme):
    stages = (
        Stage("group-3b", precipitate="sulfides"),
        Stage("group-4", takes="sulfides"),
    )
    worked_up = dataclasses.replace(scheme, stages=stages, specimen="mixture", stops_at_first_group=False)

    visits = walk(kb, worked_up, read_specimen(kb, "ZnSO4.7H2O + CaCl2.2H2O"))

    assert visits[1].portion.ions == ("Zn2+",)


def test_a_work_up_without_its_precipitate_is_not_needed(kb, scheme):
    stages = (Stage("group-3b", precipitate="sulfides"), Stage("group-4", takes="sulfides"))
    worked_up = dataclasses.replace(scheme, stages=stages, specimen="mixture", stops_at_first_group=False)

    visits = walk(kb, worked_up, read_specimen(kb, "NaCl + KCl"))

    assert visits[1].why_not == "not needed: there is no sulfides"


def test_a_test_on_each_separated_cation_sees_each_alone(kb, scheme):
    stages = (Stage("naoh", each=True),)
    separated = dataclasses.replace(scheme, stages=stages, specimen="mixture", stops_at_first_group=False)

    visit = walk(kb, separated, read_specimen(kb, "CuSO4.5H2O + ZnSO4.7H2O"))[0]

    assert [sight.by for sight in visit.sights if sight.facet == "tube"] == [("Cu2+",), ("Zn2+",)]
