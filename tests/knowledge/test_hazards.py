"""Hazards of salts and reagents against the harmonised classification and the rules for labels."""

import re
from pathlib import Path
from types import SimpleNamespace

import pytest
import yaml

from examkit.chemistry.knowledge.load import SHARED, load

TABLE_KEY = "clp-annex-vi-table-3"
TABLE = yaml.safe_load(Path(__file__).with_name("annex_vi.yaml").read_text())
ROWS = {row["index"]: row for row in TABLE["rows"]}
SALTS = list(load(SHARED).salts.values())
INDEX = re.compile(r"index (\d{3}-\d{3}-\d\d-[\dX])")

# Regulation (EC) No 1272/2008, article 26 and annex V: which statement asks for which pictogram
PICTOGRAMS = {
    "skull": ["H300", "H301", "H310", "H311", "H330", "H331"],
    "exclamation": ["H302", "H312", "H332", "H315", "H317", "H319", "H335", "H336"],
    "corrosion": ["H290", "H314", "H318"],
    "oxidiser": ["H270", "H271", "H272"],
    "flame": ["H220", "H225", "H226", "H228", "H260", "H261"],
    "gas": ["H280"],
    "health": "H304 H334 H340 H341 H350 H351 H360 H361 H370 H371 H372 H373".split(),
    "environment": ["H400", "H410", "H411"],
}
# a statement that is covered by a worse one of the same kind
WORSE = {
    "H301": ["H300"], "H302": ["H300", "H301"], "H311": ["H310"], "H312": ["H310", "H311"],
    "H331": ["H330"], "H332": ["H330", "H331"], "H373": ["H372"], "H319": ["H318", "H314"],
    "H315": ["H314"], "H400": ["H410"], "H318": ["H314"],
}  # fmt: skip


def reagent(path):
    data = yaml.safe_load(path.read_text())
    cited = [
        SimpleNamespace(**c) if isinstance(c, dict) else SimpleNamespace(key=c, at="")
        for c in data["hazard_source"]
    ]
    return SimpleNamespace(
        formula=data["key"], cas="", hazards=SimpleNamespace(**data["hazards"]), hazard_sources=cited
    )


SHELF = [*SALTS, *(reagent(path) for path in sorted(SHARED.glob("reagents/*.yaml")))]


def name_of(item):
    return item.formula


def codes(item):
    return {code for statement in item.hazards.statements for code in statement.split("+")}


def rows_of(item):
    cited = [c.at for c in item.hazard_sources if c.key == TABLE_KEY]
    return [ROWS[i] for at in cited for i in INDEX.findall(at)]


def undiluted(item):
    return not any("read down" in c.at for c in item.hazard_sources if c.key == TABLE_KEY)


def wanted_pictograms(statements):
    plain = {code[:4] for code in statements}
    wanted = {p for p, asked_by in PICTOGRAMS.items() if plain & set(asked_by)}
    reasons = plain & set(PICTOGRAMS["exclamation"])
    if plain & {"H314", "H318"}:
        reasons -= {"H315", "H319"}
    if "H334" in plain:
        reasons -= {"H317", "H315", "H319"}
    if "skull" in wanted or not reasons:
        wanted.discard("exclamation")
    return wanted


CLASSIFIED = [item for item in SHELF if rows_of(item) and undiluted(item)]


def test_most_salts_are_compared_with_the_table():
    assert sum(bool(rows_of(s)) for s in SALTS) >= 95


@pytest.mark.parametrize("item", CLASSIFIED, ids=name_of)
def test_every_harmonised_statement_stands_on_the_label_or_a_worse_one_of_its_kind(item):
    own = codes(item)
    for row in rows_of(item):
        missing = [s for s in row["statements"] if s not in own and not own & set(WORSE.get(s, []))]
        assert not missing, f"{row['index']} {row['name']}"


@pytest.mark.parametrize("item", CLASSIFIED, ids=name_of)
def test_what_goes_beyond_the_table_names_another_source(item):
    harmonised = {s for row in rows_of(item) for s in row["statements"]}
    if codes(item) - harmonised:
        assert len(item.hazard_sources) > 1


@pytest.mark.parametrize("item", SHELF, ids=name_of)
def test_the_pictograms_are_those_that_the_statements_ask_for(item):
    assert set(item.hazards.pictograms) == wanted_pictograms(codes(item))


@pytest.mark.parametrize("salt", SALTS, ids=name_of)
def test_a_salt_without_a_statement_has_no_signal_word_and_one_with_a_pictogram_has_one(salt):
    assert bool(salt.hazards.signal) == bool(salt.hazards.pictograms)


def test_a_cas_number_of_the_table_is_cited_by_its_own_row():
    by_cas = {row["cas"]: row["index"] for row in ROWS.values() if row["cas"]}
    for salt in SALTS:
        if salt.cas in by_cas:
            assert by_cas[salt.cas] in {row["index"] for row in rows_of(salt)}, salt.formula


@pytest.mark.parametrize("statement", sorted({s for item in SHELF for s in item.hazards.statements}))
def test_every_statement_in_use_has_its_wording(statement):
    wording = yaml.safe_load((SHARED / "hazards.yaml").read_text())["statements"]
    assert statement in wording
