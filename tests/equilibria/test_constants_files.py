"""What a file of constants/ must not say, each with the words of its message."""

from types import SimpleNamespace

import pytest

from examkit.chemistry.knowledge.constants import ADAPTER, problems, records, terms
from examkit.chemistry.knowledge.read import read

BASIS = "kind: basis\nbasis: [Pb2+, Cl-, NH3]\ngives: {HCl: {H+: 1, Cl-: 1}}\n"
SOLIDS = "kind: solids\ntemperature_C: 25\nconstants:\n"


def found(*texts):
    """The problems of these files, as one text."""
    documents = [read(text, f"constants/{index}.yaml") for index, text in enumerate(texts)]
    pairs = [(document, ADAPTER.validate_python(document.data)) for document in documents]
    base = SimpleNamespace(constants=records(pairs))
    return "\n".join(map(str, problems(base, pairs)))


def solid(species, reaction):
    return f'{SOLIDS}- {{species: "{species}", reaction: "{reaction}", log_k: -4.8, source: [memory]}}\n'


def test_a_constant_that_is_well_written_has_no_problem():
    assert found(BASIS, solid("PbCl2", "PbCl2 -> Pb2+ + 2 Cl-")) == ""


@pytest.mark.parametrize(
    ("species", "reaction", "words"),
    [
        ("PbCl2", "PbCl2 -> Pb2+ + Cl-", "does not balance"),
        ("PbCl2", "PbBr2 -> Pb2+ + 2 Br-", "does not hold it"),
        ("PbBr2", "PbBr2 -> Pb2+ + 2 Br-", "nothing defines 'Br-'. Add it to constants/basis.yaml"),
        ("PbCl2", "Pb2+ + 2 Cl- -> PbCl2", "a solid dissolves"),
        ("PbCl2", "PbCl2 = Pb2+ + 2 Cl-", "needs exactly one ' -> '"),
    ],
)
def test_a_wrong_reaction_is_refused_in_words(species, reaction, words):
    assert words in found(BASIS, solid(species, reaction))


def test_a_constant_given_twice_is_refused():
    text = solid("PbCl2", "PbCl2 -> Pb2+ + 2 Cl-")

    assert "'PbCl2' stands in constants/1.yaml too. Keep one" in found(BASIS, text, text)


def test_what_a_reagent_gives_must_add_up():
    assert "does not balance" in found(BASIS.replace("Cl-: 1", "Cl-: 2"))


def test_terms_keep_their_counts():
    assert terms("Zn2+ + 4 NH3 -> [Zn(NH3)4]2+") == ([(1, "Zn2+"), (4, "NH3")], [(1, "[Zn(NH3)4]2+")])
