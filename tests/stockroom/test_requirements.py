"""What an exam needs: tubes of salts, reagents by the tests that are reached."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.chemistry.uses import uses
from examkit.knowledge import knowledge
from examkit.stockroom.errors import StockError
from examkit.stockroom.requirements import Seating, reached, reagents_to_ready, salts_to_weigh

ONE_EACH = Seating(candidates=10, places=10, visits=1)


def records(*salts):
    """Expected records as an exam freezes them."""
    return [expect(knowledge(), read_specimen(knowledge(), salt)).as_json() for salt in salts]


def needs(*salts, seating=ONE_EACH, spare_percent=0, **more):
    found = reagents_to_ready(knowledge(), records(*salts), seating, spare_percent=spare_percent, **more)
    return {need.reagent: need for need in found}


def test_four_samples_with_a_fifth_spare_are_five_tubes():
    need, = salts_to_weigh([("A", "KCl"), ("B", "KCl"), ("C", "KCl"), ("D", "KCl")],
                           sample_mg=1500, spare_percent=20)

    assert (need.tubes, need.spare_tubes, need.tube_g, need.total_g) == (5, 1, Decimal("1.50"), Decimal("7.50"))
    assert need.codes == ("A", "B", "C", "D")


def test_a_sample_that_the_balance_cannot_show_is_rounded_up():
    need, = salts_to_weigh([("A", "KCl")], sample_mg=1501, spare_percent=0)

    assert need.tube_g == Decimal("1.51")


def test_a_sample_of_nothing_is_refused():
    with pytest.raises(StockError, match="Give the exam a sample mass"):
        salts_to_weigh([("A", "KCl")], sample_mg=0, spare_percent=20)


@given(st.lists(st.sampled_from(["KCl", "NaBr", "CuSO4.5H2O"]), max_size=60), st.integers(1, 5000),
       st.integers(0, 50))
def test_every_code_has_its_tube_and_no_salt_runs_short(salts, sample_mg, spare_percent):
    found = salts_to_weigh([(f"C{n}", salt) for n, salt in enumerate(salts)],
                           sample_mg=sample_mg, spare_percent=spare_percent)

    assert sorted(code for need in found for code in need.codes) == sorted(f"C{n}" for n in range(len(salts)))
    assert all(need.total_g * 1000 >= len(need.codes) * sample_mg for need in found)


def test_a_test_that_no_drawn_salt_reaches_needs_no_reagent():
    # a white salt gets no borax bead; a coloured one does (the knowledge base's own rule)
    assert "borax-bead" not in reached(records("KCl"))
    assert "borax" not in needs("KCl")
    assert "borax" in needs("KCl", "CuSO4.5H2O")


def test_a_test_that_one_salt_reaches_counts_for_every_candidate():
    borax = needs("KCl", "CuSO4.5H2O")["borax"]

    assert borax.total.value == borax.each.value * 10


def test_group_reagents_stop_where_the_work_stops():
    # lead answers in group I or II, so the later groups are not reached
    assert "group-4" not in reached(records("Pb(NO3)2"))
    assert "ammonium-carbonate" not in needs("Pb(NO3)2")


def test_of_confirmations_only_those_count_that_a_drawn_ion_shows():
    assert "dimethylglyoxime" in needs("NiCl2.6H2O")
    assert "dimethylglyoxime" not in needs("ZnSO4.7H2O")


def test_mercury_is_made_ready_only_where_it_is_asked_for():
    assert not {"mercury-chloride", "nessler", "cadmium-acetate"} & set(needs("KI", "NH4Cl", "Na2S.9H2O"))
    assert "nessler" in needs("NH4Cl", optional=True)


def test_the_gas_can_be_replaced_by_the_solution_that_sets_it_free():
    assert "thioacetamide" not in needs("NiCl2.6H2O")
    replaced = needs("NiCl2.6H2O", instead=["thioacetamide"])

    assert "thioacetamide" in replaced
    assert "hydrogen-sulfide" not in replaced


def test_volumes_come_from_the_tests_with_spare():
    # tests/barium chloride: what the knowledge base's tests of a sulfate add up to, twice ten candidates, 20 % spare
    need = needs("K2SO4", seating=Seating(20, 10, 2), spare_percent=20)["barium-chloride"]
    each = sum(Decimal(str(use.volume_mL)) for test in need.tests
               for use in uses(knowledge().tests[test]) if use.reagent == "barium-chloride")

    assert need.each.value == each
    assert need.total.value >= each * 20 * Decimal("1.2")
    assert need.bottle.value >= each * 2 * Decimal("1.2")


def test_the_whole_amount_fills_every_bench_bottle():
    for need in needs("NiCl2.6H2O", "K2SO4", "KI").values():
        if need.place == "bench":
            assert need.total.value >= need.bottle.value * 10, need.reagent


def test_gases_and_strong_acids_stay_in_the_fume_cupboard():
    found = needs("NiCl2.6H2O")

    assert found["hydrogen-sulfide"].place == found["sulfuric-acid-concentrated"].place == "fume cupboard"
    assert found["sodium-hydroxide-2M"].place == "bench"


def test_test_papers_are_counted_in_strips():
    need = needs("KCl")["litmus-paper-red"]

    assert need.total.unit == "strips"
    assert need.total.value == need.total.value.to_integral_value()


def test_reagents_come_in_the_order_of_the_scheme():
    order = [stage.test for stage in knowledge().schemes["semimicro"].stages]
    firsts = [order.index(need.tests[0]) for need in needs("NiCl2.6H2O", "K2SO4", "Pb(NO3)2").values()]

    assert firsts == sorted(firsts)


def test_what_takes_phosphate_out_is_made_ready_where_a_phosphate_was_drawn():
    def ready(salt):
        record = expect(knowledge(), read_specimen(knowledge(), salt), "school-groups").as_json()
        return {need.reagent for need in reagents_to_ready(knowledge(), [record], ONE_EACH, spare_percent=0)}

    assert "iron-chloride" in ready("Zn3(PO4)2.4H2O")
    assert "iron-chloride" not in ready("ZnSO4.7H2O")


def test_a_scheme_that_takes_more_of_a_reagent_has_more_of_it_made_ready():
    kb = knowledge()
    scheme = kb.schemes["semimicro"]
    stage = next(stage for stage in scheme.stages if stage.test == "group-1")
    more = tuple(replace(o, drops=2 * o.drops) if o.do == "add" else o for o in kb.tests["group-1"].operations[""])
    stages = tuple(replace(s, operations={"": more}) if s is stage else s for s in scheme.stages)
    other = replace(kb, schemes=kb.schemes | {"semimicro": replace(scheme, stages=stages)})

    def acid(base):
        found = reagents_to_ready(base, records("NiCl2.6H2O"), ONE_EACH, spare_percent=0)
        return next(need.each.value for need in found if need.reagent == "hydrochloric-acid-dilute")

    assert acid(other) - acid(kb) == Decimal("0.15")
