"""What nobody can give out is refused with the reason, by pair and by salt, wherever a salt is asked for."""

import dataclasses
import shutil

import pytest

from examkit.chemistry.errors import KnowledgeError, UnknownSubject
from examkit.chemistry.knowledge.citations import Citation
from examkit.chemistry.knowledge.layers import own
from examkit.chemistry.knowledge.load import SHARED, load
from examkit.chemistry.knowledge.model import Refusal
from examkit.chemistry.knowledge.overlay import load_with
from examkit.chemistry.specimen import find_salt, read_specimen

KB = load()
IRON = Refusal("", "", "loses its water and browns", (Citation("memory"),), "FeSO4.H2O", ("green dust",))
WITH_IRON = dataclasses.replace(KB, refusals=(*KB.refusals, IRON))


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        ("Al2(CO3)3", "hydrolyses"),
        ("Al₂(CO₃)₃", "hydrolyses"),
        ("aluminium carbonate", "hydrolyses"),
        ("CuI2", "oxidises iodide"),
        ("iron(III) iodide", "oxidises iodide"),
        ("ferric iodide", "oxidises iodide"),
        ("copper iodide", "oxidises iodide"),
        ("Hg2CO3", "yellow for a moment only"),
        ("(NH4)3PO4", "loses ammonia"),
        ("arsenic trioxide", "without an anion to find"),
    ],
)
def test_a_refused_pair_or_salt_is_refused_with_its_reason(asked, reason):
    with pytest.raises(UnknownSubject, match=f"No salt is called .*{reason}"):
        read_specimen(KB, asked)


def test_one_salt_is_refused_and_others_of_its_ions_are_not():
    assert IRON.refuses("FeSO4.H2O", {"Fe2+": 1, "SO4^2-": 1})
    assert not IRON.refuses("FeSO4.7H2O", {"Fe2+": 1, "SO4^2-": 1})
    assert find_salt(WITH_IRON, "FeSO4.7H2O").formula == "FeSO4.7H2O"
    with pytest.raises(UnknownSubject, match="FeSO4.H2O is not given out: loses its water"):
        find_salt(WITH_IRON, "green dust")


def test_a_pair_is_refused_in_every_proportion_but_not_in_a_double_salt():
    pair = Refusal("Al3+", "CO3^2-", "hydrolyses", ())

    assert pair.refuses("Al2(CO3)3", {"Al3+": 2, "CO3^2-": 3})
    assert not pair.refuses("NaAl(CO3)2", {"Na+": 1, "Al3+": 1, "CO3^2-": 2})


@pytest.mark.parametrize(
    ("formula", "ions", "field", "reason"),
    [
        ("(NH4)3PO4", {"NH4+": 3, "PO4^3-": 1}, "formula", "loses ammonia"),
        ("Al2(CO3)3", {"Al3+": 2, "CO3^2-": 3}, "ions", "hydrolyses"),
    ],
)
def test_a_centre_cannot_add_what_is_refused_and_is_told_at_the_field(formula, ions, field, reason):
    salt = {
        "formula": formula, "name": f"our {formula}", "ions": ions, "cas": "7732-18-5", "colour": ["white"],
        "form": "powder", "moisture": "none", "dissolves_in": "cold water", "keeping": "closed",
        "hazards": {"signal": "", "statements": [], "pictograms": []},
    }
    with pytest.raises(KnowledgeError) as refused:
        load_with(SHARED, None, (own("salt", formula, {"source": "our cupboard", "salt": salt}),))

    told = [problem for problem in refused.value.problems if reason in problem.what]
    assert [field in str(problem.place) for problem in told] == [True]


def test_nothing_of_the_base_is_refused_by_it():
    assert [s.formula for s in KB.salts.values() for r in KB.refusals if r.refuses(s.formula, s.ions)] == []


def test_every_refused_name_reads_as_no_salt_of_the_base():
    for refusal in (refusal for refusal in KB.refusals if refusal.salt):
        assert refusal.salt not in KB.salts


@pytest.mark.parametrize(
    ("mixture", "reason"),
    [
        ("KMnO4 + Na2C2O4", "burns an organic salt"),
        ("CH3COONa.3H2O + NaCl + KMnO4", "burns an organic salt"),
        ("NH4Cl + NaNO2", "ammonium nitrite forms"),
        ("(NH4)2SO4 + K2CrO4", "decomposes violently"),
        ("NH4Cl + KMnO4", "ammonium permanganate explodes"),
        ("Na2S2O3.5H2O + KMnO4", "take fire or explode"),
        ("Na2SO3 + K2Cr2O7", "take fire or explode"),
        ("KNO3 + KSCN", "explodes when it is heated"),
        ("KNO3 + CH3COONa.3H2O", "explodes like gunpowder"),
        ("Pb(NO3)2 + NaCl + Zn(CH3COO)2.2H2O", "explodes like gunpowder"),
        ("NaNO3 + ZnS", "deflagrates"),
        ("KMnO4 + KI", "neither is found by its tests"),
        ("NaNO2 + KMnO4", "neither is found by its tests"),
        ("KMnO4 + Na2SO3", "take fire or explode"),
    ],
)
def test_salts_that_are_dangerous_together_are_refused_as_a_mixture(mixture, reason):
    """Sources: those of the rows in shared/refusals.yaml."""
    for asked in (mixture, " + ".join(reversed(mixture.split(" + ")))):
        with pytest.raises(UnknownSubject, match=f"never mixed, dry or heated: .*{reason}"):
            read_specimen(KB, asked)


@pytest.mark.parametrize("allowed", ["KMnO4", "K2Cr2O7", "NH4NO3", "KMnO4 + NaCl", "KMnO4 + KBr",
                                     "NH4Cl + KNO3", "KI + KNO3", "KNO3 + Na2C2O4", "NaNO2 + NaCl",
                                     "Na2C2O4 + NaCl"])
def test_one_salt_alone_and_harmless_mixtures_are_not_refused(allowed):
    assert read_specimen(KB, allowed).salts


@pytest.mark.parametrize(
    ("test", "words"),
    [
        ("dry-heating", "nitrate, nitrite, chromate or permanganate with oxalate, acetate"),
        ("anion-dilute-acid", "Permanganate or dichromate beside a chloride, bromide"),
    ],
)
def test_a_mixture_that_is_allowed_and_can_do_harm_has_its_caution(test, words):
    """Nitrate with oxalate; permanganate with chloride, with bromide. Common practice, no source."""
    assert any(words in caution for caution in KB.tests[test].cautions)


def test_what_never_comes_together_names_two_lists_of_known_ions(tmp_path):
    shutil.copytree(SHARED, tmp_path / "shared")
    file = tmp_path / "shared/refusals.yaml"
    said = file.read_text(encoding="utf-8")
    file.write_text(said + "- {together: [[NO2-]], reason: why, source: [memory]}\n"
                    '- {together: [[NO2-], ["Xx3-"]], reason: why, source: [memory]}\n', encoding="utf-8")

    with pytest.raises(KnowledgeError, match="two lists of ions") as raised:
        load(tmp_path / "shared")
    assert "'Xx3-' has no file in ions/" in str(raised.value)
