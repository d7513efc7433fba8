"""What stands in a tube after a sequence of operations; amounts by hand."""

from dataclasses import replace

import pytest

from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.work import Operation
from examkit.chemistry.uses import Use, uses, uses_before
from examkit.chemistry.vessel import Added, Vessel, calculable, conditions, run, staged

KB = load()
TUBE = Vessel("tube", 1.0, 1.0)


def do(what, *more, **rest):
    return Operation(what, *more, **rest)


def looked(*operations, tube=TUBE):
    looks, left = run(KB, (do("take", "tube"), *operations), tube)
    return [vessel for _facet, _step, vessel in looks], left


LOOK = do("look", step="reagent")


def test_drops_add_up_to_a_volume():
    (vessel,), _left = looked(do("add", "hydrochloric-acid-dilute", drops=3), LOOK)

    assert vessel.volume_mL == pytest.approx(1.15)
    assert vessel.course == (Added("hydrochloric-acid-dilute", 0.15),)


def test_what_is_in_the_tube_carries_on():
    (first, second), left = looked(
        do("add", "hydrochloric-acid-dilute", drops=3), LOOK, do("dilute", to_mL=2.0), LOOK)

    assert second.course == first.course == left.course
    assert (first.volume_mL, second.volume_mL) == (pytest.approx(1.15), 2.0)


def test_a_gas_stays_until_it_is_boiled_off():
    (with_gas, without), _left = looked(
        do("pass", "hydrogen-sulfide", g=0.3, keeps=(("H2S", 0.1),)), LOOK,
        do("boil", drives_off=("H2S",)), do("cool"), LOOK)

    assert with_gas.saturated == (("H2S", 0.1),)
    assert without.saturated == ()


def test_a_volatile_acid_leaves_when_it_is_evaporated_and_sulfuric_acid_stays():
    _looks, left = looked(
        do("add", "nitric-acid-dilute", mL=1.0), do("add", "sulfuric-acid-dilute", mL=0.3),
        do("evaporate", to_mL=0.2, drives_off=("HNO3",)))

    assert [added.reagent for added in left.course] == ["sulfuric-acid-dilute"]
    assert left.volume_mL == 0.2


def test_the_residue_is_washed_and_the_liquid_goes_on():
    (vessel,), left = looked(
        do("add", "hydrochloric-acid-dilute", drops=3), do("centrifuge"), do("take", "residue"),
        do("add", "ammonia-dilute", mL=1.0), LOOK)

    assert vessel.residue and vessel.solid
    assert [added.reagent for added in vessel.course] == ["ammonia-dilute"]
    assert [added.reagent for added in left.course] == ["hydrochloric-acid-dilute"]


def test_a_part_takes_its_share_of_everything():
    (vessel,), left = looked(
        do("add", "hydrochloric-acid-dilute", mL=1.0), do("take", "part", mL=0.5), LOOK)

    assert (vessel.volume_mL, vessel.share) == (0.5, 0.25)
    assert vessel.course[0].volume_mL == 0.25
    assert left.volume_mL == 2.0


def test_what_is_boiling_is_not_calculated_and_is_again_once_cool():
    (hot, cold), _left = looked(do("boil"), LOOK, do("cool"), LOOK)

    assert not calculable(hot)
    assert calculable(cold)


def test_a_reagent_of_which_no_constant_is_known_ends_the_calculation_for_that_test_only():
    (vessel,), left = looked(do("add", "dimethylglyoxime", drops=3), LOOK)
    (next_test,), _left = looked(LOOK, tube=left)

    assert "not calculated" in vessel.beyond
    assert calculable(next_test)


def test_what_is_optional_or_stands_for_another_is_not_in_the_tube():
    (vessel,), _left = looked(
        do("add", "hydrogen-peroxide", drops=2, optional=True),
        do("add", "thioacetamide", mL=0.5, instead_of="hydrogen-sulfide"), LOOK)

    assert vessel == TUBE


@pytest.mark.parametrize("key", list(KB.schemes))
def test_every_scheme_can_be_calculated_at_the_reagent_of_its_groups(key):
    scheme = KB.schemes[key]
    calculated = {condition.test for condition in conditions(KB, scheme)}

    assert {f"group-{group}" for group in ("1", "2", "3a", "3b", "4", "5")} <= calculated


@pytest.mark.parametrize("key", list(KB.schemes))
def test_no_tube_holds_less_than_went_in(key):
    for _stage, looks in staged(KB, KB.schemes[key]):
        for look in looks:
            if calculable(look.vessel):
                assert look.vessel.volume_mL > 0
                assert all(added.volume_mL or added.mass_g for added in look.vessel.course)


def test_the_acid_of_the_chloride_group_is_a_third_of_a_mole_in_a_litre_in_the_next():
    """Worked by hand: 0.15 mL of 4 mol/L in 2.0 mL; 0.3 mol/L H+ for the sulfide group (common practice, no source)."""
    vessel = next(c.vessel for c in conditions(KB, KB.schemes["semimicro"]) if c.test == "group-2")
    acid = next(added for added in vessel.course if added.reagent == "hydrochloric-acid-dilute")

    strength = acid.volume_mL * KB.reagents[acid.reagent].strength_mol_L / vessel.volume_mL
    assert strength == pytest.approx(0.3)


def test_a_scheme_states_operations_of_its_own():
    scheme = KB.schemes["semimicro"]
    stage = next(s for s in scheme.stages if s.test == "group-1")
    more = tuple(replace(o, drops=6) if o.do == "add" else o for o in KB.tests["group-1"].operations[""])
    own = replace(stage, operations={"": more})
    other = replace(scheme, stages=tuple(own if s is stage else s for s in scheme.stages))

    vessel = next(c.vessel for c in conditions(KB, other) if c.test == "group-1")
    assert vessel.volume_mL == pytest.approx(1.3)
    assert uses(KB.tests["group-1"], own)[0].volume_mL == pytest.approx(0.3)


def test_the_shelf_gives_what_all_operations_of_a_test_take():
    assert Use("sodium-hydroxide-2M", 1.05) in uses(KB.tests["naoh"])
    assert Use("litmus-paper-red", strips=1) in uses(KB.tests["naoh"])


def test_what_takes_anions_out_is_taken_from_the_shelf_too():
    stage = next(s for s in KB.schemes["school-groups"].stages if s.test == "group-3a")

    assert {"iron-chloride", "ammonium-acetate"} <= {use.reagent for use in uses_before(stage)}
