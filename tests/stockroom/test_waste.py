"""Waste: which container a substance goes into."""

import pytest
import yaml

from examkit.chemistry.knowledge.load import SHARED
from examkit.knowledge import knowledge
from examkit.stockroom.waste import class_of, containers


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
