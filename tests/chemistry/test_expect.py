"""The expected record: its JSON, and that a specimen always fits its own record."""

import json

import pytest

from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.observe import observe
from examkit.chemistry.specimen import read_specimen

KB = load()
SCHEME = KB.schemes["semimicro"]
SALTS = sorted(s.formula for s in KB.salts.values() if {*SCHEME.cations, *SCHEME.anions}.issuperset(s.ions))
LINE_KEYS = {
    "test",
    "stage",
    "title",
    "done",
    "text",
    "seen",
    "points_to",
    "rules_out",
    "equations",
    "margin",
    "cautions",
    "sources",
    "also_accepted",
}
SEEN_KEYS = {"step", "event", "colours", "texture", "product", "gas", "smell"}


def test_the_document_has_the_agreed_form():
    record = expect(KB, read_specimen(KB, "Pb(NO3)2 + ZnCO3")).as_json()

    assert record["specimen"] == [{"salt": "Pb(NO3)2", "grams": 0.5}, {"salt": "ZnCO3", "grams": 0.5}]
    assert (record["cations"], record["anions"]) == (["Pb2+", "Zn2+"], ["NO3-", "CO3^2-"])
    assert (record["scheme"], record["edition"]) == ("semimicro", KB.edition)
    assert all(LINE_KEYS <= set(line) for line in record["lines"])
    assert all(SEEN_KEYS <= set(seen) for line in record["lines"] for seen in line["seen"])
    assert json.loads(json.dumps(record)) == record


def test_the_shipped_scheme_has_all_its_test_ids():
    assert [stage.test for stage in SCHEME.stages] == (
        "appearance solubility dry-heating charcoal-cavity cobalt-nitrate flame borax-bead ammonium "
        "group-1 group-2 group-3a group-3b group-4 group-5 naoh ammonia confirm-cation anion-dilute-acid "
        "anion-concentrated-acid anion-silver-nitrate anion-barium-chloride confirm-anion"
    ).split()


@pytest.mark.parametrize(
    "name", ["NiCl2.6H2O", "nickel(II) chloride hexahydrate", "nickel chloride", "NiCl₂·6H₂O"]
)
def test_a_salt_is_found_by_formula_and_by_name(name):
    assert read_specimen(KB, name).salts[0].formula == "NiCl2.6H2O"


def test_an_unknown_salt_is_refused_with_near_names():
    with pytest.raises(
        UnknownSubject, match=r"No salt is called 'nickle chloride'\. Did you mean NiCl2\.6H2O"
    ):
        read_specimen(KB, "nickle chloride")


@pytest.mark.parametrize("salt", SALTS)
def test_a_specimen_fits_its_own_expected_record(salt):
    """No line of its own record rules out an ion of the salt, and some line points to each of them."""
    record = expect(KB, read_specimen(KB, salt)).as_json()
    ions = {*record["cations"], *record["anions"]}
    ruled_out = {line["test"]: ions & set(line["rules_out"]) for line in record["lines"]}
    pointed = {ion for line in record["lines"] for ion in line["points_to"]}

    assert {test: out for test, out in ruled_out.items() if out} == {}
    assert ions <= pointed | {"Na+"}


def test_zinc_with_sodium_hydroxide_reads_as_in_a_manual():
    seen = observe(KB, "naoh", "Zn2+").as_json()

    assert seen["text"] == "white gelatinous precipitate, dissolves in excess to a colourless solution"
    assert [(o["step"], o["event"]) for o in seen["seen"]] == [
        ("drops", "precipitate"),
        ("excess", "dissolves"),
    ]
    assert {"Al3+", "Pb2+", "Zn2+"} == set(seen["points_to"])
    assert "Cu2+" in seen["rules_out"]
    assert "Zn2+ + 2 OH- -> Zn(OH)2" in seen["equations"]
    assert seen["margin"] == "clear"


@pytest.mark.parametrize(
    ("test", "subject", "words"),
    [
        ("naoh", "Unobtainium", "No ion is called 'Unobtainium'"),
        ("alchemy", "Zn2+", "No test is called 'alchemy'. There are: "),
    ],
)
def test_what_is_not_known_is_refused_with_what_there_is(test, subject, words):
    with pytest.raises(UnknownSubject, match=words.replace(".", r"\.")):
        observe(KB, test, subject)


@pytest.mark.parametrize("subject", [*SCHEME.cations, *SCHEME.anions])
def test_every_ion_answers_every_test_of_the_scheme(subject):
    for stage in SCHEME.stages:
        seen = observe(KB, stage.test, subject)
        assert seen.text
        assert subject not in seen.rules_out


def test_a_line_near_the_limit_of_its_amounts_is_marginal_and_says_why():
    """Calcium sulfate, at its own solubility, may or may not show in the groups before its own."""
    lines = {line["test"]: line for line in expect(KB, read_specimen(KB, "CaSO4.2H2O")).as_json()["lines"]}

    assert lines["group-2"]["margin"] == "marginal"
    assert [n["ion"] for n in lines["group-2"]["equilibria"] if n["state"] == "marginal"] == ["Ca2+", "SO4^2-"]
    assert any(remark.startswith("Ca2+: ") for remark in lines["group-2"]["remarks"])


def test_a_line_far_from_the_limit_is_clear_with_its_numbers():
    lines = {line["test"]: line for line in expect(KB, read_specimen(KB, "NiCl2.6H2O")).as_json()["lines"]}

    assert lines["group-3b"]["margin"] == "clear"
    nickel = next(n for n in lines["group-3b"]["equilibria"] if n["ion"] == "Ni2+")
    assert nickel["state"] == "clear"
    assert nickel["fraction"] > 0.95
    assert nickel["saturation_index"] > 1


def test_what_was_settled_stays_as_the_table_has_it():
    lines = {line["test"]: line for line in expect(KB, read_specimen(KB, "ZnSO4.7H2O")).as_json()["lines"]}

    assert lines["group-2"]["margin"] == "clear"
