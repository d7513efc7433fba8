"""Waste: which container a substance goes into."""

from decimal import Decimal

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import SHARED
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.stockroom.requirements import Seating, reagents_to_ready
from examkit.stockroom.waste import class_of, containers, vessel_mL, volumes


@pytest.mark.parametrize(("substance", "container"), [
    ("Pb(NO3)2", "heavy-metals"), ("BaCl2.2H2O", "heavy-metals"), ("potassium-dichromate", "oxidising"),
    ("silver-nitrate", "silver"), ("potassium-ferrocyanide", "complex-cyanides"), ("Na2S.9H2O", "sulfides"),
    ("ethanol", "solvents"), ("sulfuric-acid-dilute", "acids-alkalis"), ("bromine-water", "halogens"),
    ("nessler", "mercury"), ("KBr", ""), ("NaAsO2", "arsenic"), ("NaF", "fluorides"), ("BaF2", "heavy-metals"),
])
def test_each_kind_goes_apart(substance, container):  # common practice, no source
    kb = knowledge()

    assert class_of(kb, kb.salts.get(substance) or kb.reagents[substance]) == container


def test_an_exam_gets_only_the_containers_that_it_fills():
    kb = knowledge()
    found = containers(kb, [kb.salts["KBr"], kb.salts["CuSO4.5H2O"], kb.reagents["litmus-paper-red"]])

    assert [container.key for container in found] == ["heavy-metals", "other"]


def test_every_rule_of_waste_cites_a_source_that_exists():
    data = yaml.safe_load((SHARED / "waste.yaml").read_text())
    rules = [*data["classes"], data["others"], data["fume_cupboard"]]
    cited = [item if isinstance(item, str) else item["key"] for rule in rules for item in rule["source"]]

    assert all(rule["source"] for rule in rules)
    assert set(cited) <= set(knowledge().sources)


def record(*salts):
    return [expect(knowledge(), read_specimen(knowledge(), salt)).as_json() for salt in salts]


def test_what_is_in_one_tube_goes_into_one_container_the_strictest_of_its_classes():
    lead, = record("Pb(NO3)2")
    found = volumes(knowledge(), [(lead, 1)])

    assert found["heavy-metals"] > 0
    assert set(found) <= {row["key"] for row in knowledge().waste["classes"]}  # lead is in every tube


def test_the_waste_is_twice_the_liquid_that_the_tests_put_in():
    salt, = record("KBr")
    needs = reagents_to_ready(knowledge(), [salt], Seating(1, 1, 1), spare_percent=0)
    put_in = sum(need.each.value for need in needs if need.each.unit == "mL")

    assert sum(volumes(knowledge(), [(salt, 1)]).values()) == 2 * put_in


def test_ten_candidates_make_ten_times_the_waste_of_one():
    copper, = record("CuSO4.5H2O")
    one, ten = volumes(knowledge(), [(copper, 1)]), volumes(knowledge(), [(copper, 10)])

    assert {key: 10 * value for key, value in one.items()} == ten


@given(st.decimals(min_value=0, max_value=60_000, places=1))
def test_a_waste_bottle_is_never_filled_to_the_brim(volume_mL):
    assert vessel_mL(volume_mL) * Decimal("0.9") >= volume_mL
