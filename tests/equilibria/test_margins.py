"""Margins of ions and specimens, disagreements with the table, and what the command lists."""

import json
from dataclasses import replace
from io import StringIO

import pytest
from django.core.management import call_command

from examkit.chemistry.equilibria.disagreements import disagreements, says, unsettled
from examkit.chemistry.equilibria.margin import Margin, has_constants, margin_of
from examkit.chemistry.equilibria.mixing import condition_of, rest
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.equilibria.species import book
from examkit.chemistry.equilibria.table import margins_of_specimen, table
from examkit.chemistry.specimen import read_specimen

GROUPS = {  # every cation alone: the group that it falls in; source: common practice
    "group-1": {"Pb2+"},
    "group-2": {"Pb2+", "Cu2+"},
    "group-3a": {"Fe3+", "Fe2+", "Al3+", "Cr3+"},
    "group-3b": {"Co2+", "Ni2+", "Mn2+", "Zn2+"},
    "group-4": {"Ba2+", "Sr2+", "Ca2+"},
    "group-5": {"Mg2+"},
}


@pytest.mark.parametrize(("test", "cations"), GROUPS.items(), ids=list(GROUPS))
def test_each_group_throws_down_its_own_cations_clearly_and_no_other(kb, scheme, test, cations):
    row = table(kb, scheme)[test, "tube", "reagent"]

    assert {ion for ion, (_form, margin) in row.items() if margin.state == "clear"} == cations


def test_a_margin_says_its_numbers(kb, scheme):
    margin = margin_of(kb, scheme, "group-4", "Ba2+", 0.2)

    assert (margin.state, margin.solid) == ("clear", "BaCO3")
    assert margin.fraction > 0.99
    assert margin.concentration_mol_L < 1e-4
    assert "BaCO3: 100 % falls" in margin.note
    assert "25 °C, Davies" in margin.note


@pytest.mark.parametrize(("test", "ion"), [("flame", "Ba2+"), ("group-4", "K+"), ("group-4", "H3O+")])
def test_there_is_no_margin_without_a_condition_or_a_constant(kb, scheme, test, ion):
    assert margin_of(kb, scheme, test, ion, 0.2) is None


def test_an_ion_without_any_solid_has_no_constants(kb):
    assert has_constants(kb, "Ba2+")
    assert not has_constants(kb, "Na+")


def test_other_ions_of_the_tube_have_a_say(kb, scheme):
    """Chloride of the specimen itself takes more lead out than the three drops of acid do."""
    alone = margin_of(kb, scheme, "group-1", "Pb2+", 0.02)
    beside = margin_of(kb, scheme, "group-1", "Pb2+", 0.02, {"Cl-": 0.6})

    assert beside.fraction > alone.fraction


def test_a_stronger_reagent_makes_a_marginal_result_clearer(kb, scheme):
    """The strength comes from reagents/: a school with a weaker acid sees less lead chloride."""
    vessel = condition_of(kb, scheme, "group-1").vessel
    half = replace(vessel, course=tuple(replace(a, volume_mL=a.volume_mL / 2) for a in vessel.course))

    assert sum(rest(kb, half, {"Pb2+": 0.03}).solids.values()) < sum(
        rest(kb, vessel, {"Pb2+": 0.03}).solids.values()
    )


def test_a_specimen_carries_on_from_group_to_group_what_stayed_dissolved(kb, scheme):
    margins = margins_of_specimen(kb, scheme, read_specimen(kb, "Pb(NO3)2"))

    lead = [margins[test, "tube", "reagent"]["Pb2+"] for test in ("group-1", "group-2")]
    assert [margin.state for margin in lead] == ["clear", "clear"]
    assert lead[1].solid_mg_L < lead[0].solid_mg_L / 5
    assert margins.get(("group-3a", "tube", "reagent"), {}).get("Pb2+", Margin("none", 0, 0, 0, "")).state == "none"


def test_carbonate_is_driven_off_before_the_groups_but_not_from_a_water_extract(kb, scheme):
    margins = margins_of_specimen(kb, scheme, read_specimen(kb, "MgCO3"))

    assert "CO3^2-" not in margins["group-2", "tube", "reagent"]
    assert margins["group-3a", "tube", "reagent"]["Mg2+"].state == "none"
    assert "CO3^2-" not in margins.get(("anion-barium-chloride", "tube", "reagent"), {})  # boiled with acid

    margins = margins_of_specimen(kb, scheme, read_specimen(kb, "Na2CO3"))
    assert margins["anion-barium-chloride", "tube", "reagent"]["CO3^2-"].state == "clear"


def test_what_a_group_leaves_in_traces_is_not_in_doubt_later(kb, scheme):
    margins = margins_of_specimen(kb, scheme, read_specimen(kb, "FeSO4.7H2O"))

    assert margins["group-3a", "tube", "reagent"]["Fe3+"].state == "clear"
    later = margins.get(("group-3b", "tube", "reagent"), {}).get("Fe3+")
    assert later is None or later.state == "none"


def test_phosphate_takes_calcium_into_the_hydroxide_group(kb, scheme):
    """The interference that is removed before the group; common practice."""
    margin = margin_of(kb, scheme, "group-3a", "Ca2+", 0.1, {"PO4^3-": 0.1})

    assert margin.state == "clear"


def test_the_table_is_read_step_by_step(kb, scheme):
    assert says(kb, "naoh", "tube", "drops", "Zn2+")[0]
    assert not says(kb, "naoh", "tube", "excess", "Zn2+")[0]
    assert says(kb, "naoh", "tube", "excess", "Cu2+")[0]
    assert not says(kb, "group-2", "tube", "reagent", "Fe3+")[0]  # sulfur is no group precipitate


def test_no_disagreement_is_outright_and_each_is_settled(kb, scheme):
    found = disagreements(kb, scheme)

    assert {item.kind for item in found} <= {"marginal"}
    assert {item.ion for item in found if item.test == "group-2"} == {"Zn2+"}
    assert unsettled(kb, scheme) == ()


def test_every_settlement_settles_something(kb):
    used = {item.settled for scheme in kb.schemes.values() for item in disagreements(kb, scheme)}

    assert set(kb.constants.settled) - used == set()
    assert None not in used


def test_a_wrong_fact_in_the_table_is_found(kb, scheme):
    """Take barium's precipitate out of group IV: the calculation contradicts."""
    silent = replace(kb.ions["Ba2+"], facts={})
    other = replace(kb, ions={**kb.ions, "Ba2+": silent})

    wrong = [d for d in disagreements(other, scheme) if d.ion == "Ba2+"]

    assert any((d.test, d.kind) == ("group-4", "opposite") for d in wrong)
    assert "Not settled" in str(next(d for d in wrong if d.test == "group-4"))


def test_the_command_lists_them():
    out = StringIO()
    call_command("check_knowledge", "--json", stdout=out)

    listed = json.loads(out.getvalue())["equilibria"]["semimicro"]
    assert all(item["settled"] for item in listed)
    assert any("ZnS" in item["text"] for item in listed)


@pytest.mark.parametrize(("test", "step", "ion", "complex_"), [  # common practice, no source
    ("ammonia", "excess", "Cu2+", "[Cu(NH3)4]2+"),
    ("ammonia", "excess", "Ni2+", "[Ni(NH3)5]2+"),
    ("ammonia", "excess", "Zn2+", "[Zn(NH3)4]2+"),
    ("naoh", "excess", "Zn2+", "[Zn(OH)4]2-"),
    ("naoh", "excess", "Al3+", "[Al(OH)4]-"),
    ("naoh", "excess", "Pb2+", "[Pb(OH)3]-"),
])
def test_what_dissolves_in_excess_is_in_a_complex_that_is_named_with_its_share(kb, scheme, test, step, ion, complex_):
    margin = margin_of(kb, scheme, test, ion, 0.1, step=step)

    assert margin.complex.partition(")")[0] == complex_.partition(")")[0]
    assert margin.complex_fraction > 0.25
    assert f"{margin.complex} holds" in margin.note


def test_complexes_and_the_free_ion_and_the_solid_are_all_of_the_ion(kb):

    found = solve(kb.constants, mixture({"Cu2+": 0.1, "NO3-": 0.2, "NH3": 1.0}))
    known = book(kb.constants)
    held = sum(amount * known.of(name).get("Cu2+", 0) for name, amount in found.complexes.items())

    assert held <= found.dissolved["Cu2+"] * 1.0001
    assert held > 0.99 * found.dissolved["Cu2+"]
