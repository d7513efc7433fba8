"""One salt through the groups zero to VI: the right group answers, under the number that the scheme gives it.

Which cation belongs to which group: the numbering that school boards use (common practice).
"""

import pytest

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import Part, Specimen

KB = load()
SCHEME = KB.schemes["school-groups"]
GROUPS = {
    "ammonium": {"NH4+"},
    "group-1": {"Pb2+"},
    "group-2": {"Cu2+"},
    "group-3a": {"Al3+", "Fe2+", "Fe3+"},
    "group-3b": {"Co2+", "Ni2+", "Mn2+", "Zn2+"},
    "group-4": {"Ba2+", "Sr2+", "Ca2+"},
    "group-5": {"Mg2+"},
}
SYLLABUS = {*SCHEME.cations, *SCHEME.anions}
SALTS = sorted(
    salt.formula
    for salt in KB.salts.values()
    if SYLLABUS.issuperset(salt.ions) and len(salt.cations) == len(salt.anions) == 1
)


def lines(formula):
    """The lines of the expected record of one salt, by test."""
    return {
        line.test: line for line in expect(KB, Specimen((Part(KB.salts[formula], 0.5),)), SCHEME.key).lines
    }


def answers(line):
    """Whether a group shows its precipitate (sulfur is none), or ammonia."""
    seen = line.observation.seen if line.done else ()
    return any(o.event == "gas" or (o.event == "precipitate" and o.product != "S") for _facet, o in seen)


@pytest.mark.parametrize("salt", [name for name in SALTS if KB.salts[name].dissolves_in != "nothing"])
def test_the_group_of_the_cation_answers_and_no_other(salt):
    record = lines(salt)
    (cation,) = KB.salts[salt].cations

    assert [test for test in GROUPS if answers(record[test])] == [
        t for t, ions in GROUPS.items() if cation in ions
    ]


@pytest.mark.parametrize("salt", SALTS)
def test_every_ion_is_pointed_to_and_never_ruled_out(salt):
    done = [line.observation for line in lines(salt).values() if line.done]
    ions = set(KB.salts[salt].ions)

    assert ions <= {ion for observation in done for ion in observation.points_to}
    assert not ions & {ion for observation in done for ion in observation.rules_out}


def test_a_line_bears_the_number_that_the_scheme_gives_to_its_group():
    record = lines("ZnSO4.7H2O")

    assert record["group-3b"].title.startswith("Group IV, ")
    assert record["group-4"].title.startswith("Group V, ")
    assert record["group-4"].why_not == "not needed: group IV has answered, and the salt has one cation"
