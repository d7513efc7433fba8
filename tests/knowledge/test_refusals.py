"""What nobody can give out is refused with the reason, by pair and by salt, wherever a salt is asked for."""

import dataclasses

import pytest

from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.model import Citation, Refusal
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


def test_nothing_of_the_base_is_refused_by_it():
    assert [s.formula for s in KB.salts.values() for r in KB.refusals if r.refuses(s.formula, s.ions)] == []


def test_every_refused_name_reads_as_no_salt_of_the_base():
    for refusal in (refusal for refusal in KB.refusals if refusal.salt):
        assert refusal.salt not in KB.salts
