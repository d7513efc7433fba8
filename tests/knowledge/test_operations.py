"""Operations: every shipped test can be done, every step is looked at, and what cannot be done is refused."""

import re

import pytest

from examkit.chemistry.doings import in_words
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.operations import faults, looks, operations, plain, ways
from examkit.chemistry.knowledge.shapes import OperationShape
from examkit.chemistry.knowledge.work import DROP_mL

KB = load()
TESTS = list(KB.tests.values())
TAKE = {"do": "take", "what": "tube"}
LOOK = {"do": "look", "step": "reagent"}


def told(test, *steps):
    sequences = ways([OperationShape.model_validate(step) for step in steps])
    return "\n".join(what for _place, what in faults(KB, KB.tests[test], sequences))


@pytest.mark.parametrize("test", TESTS, ids=lambda test: test.id)
def test_a_shipped_test_can_be_done(test):
    assert list(faults(KB, test, test.operations)) == []


@pytest.mark.parametrize("test", TESTS, ids=lambda test: test.id)
def test_every_step_of_every_facet_is_looked_at_once_at_least(test):
    seen = set(looks(test, test.operations))

    assert {(f.key, step) for f in test.facets.values() for step in f.steps or ("",)} <= seen


@pytest.mark.parametrize("test", TESTS, ids=lambda test: test.id)
def test_every_operation_can_be_said_in_words(test):
    for way, sequence in test.operations.items():
        for operation in sequence:
            words = in_words(KB, test, operation, way)
            assert words and "None" not in words and "  " not in words


@pytest.mark.parametrize("test", TESTS, ids=lambda test: test.id)
def test_operations_become_data_and_come_back_the_same(test):
    data = plain(test.operations)
    shape = {way: list(map(OperationShape.model_validate, each)) for way, each in data.items()} \
        if isinstance(data, dict) else list(map(OperationShape.model_validate, data))

    assert ways(shape) == test.operations


def test_words_say_how_much_and_until_when():
    three = operations([OperationShape(do="add", what="hydrochloric-acid-dilute", drops=3)])[0]
    until = operations([OperationShape(do="add", what="ammonia-dilute", mL=1, until_pH=8.0)])[0]

    assert in_words(KB, KB.tests["group-1"], three).startswith("add 3 drops of hydrochloric acid, dilute")
    assert "drop by drop until pH 8" in in_words(KB, KB.tests["group-3a"], until)


@pytest.mark.parametrize(("steps", "words"), [
    ([TAKE, {"do": "add", "what": "holy-water", "mL": 1}, LOOK], "there is no reagent 'holy-water'"),
    ([TAKE, {"do": "add", "what": "hydrochloric-acid-dilute"}, LOOK], "Add drops, mL, g or strips"),
    ([{"do": "take", "what": "the moon"}, LOOK], "is no portion. Known: solid, original solution"),
    ([TAKE, {"do": "look", "step": "later"}], "has no step 'later'. Steps: reagent"),
    ([TAKE, {"do": "look", "facet": "aura"}], "no facet 'aura' to look at"),
    ([TAKE], "no operation looks at 'tube', step 'reagent'. Add one with 'do: look'"),
    ([LOOK], "Begin with 'take'"),
    ([TAKE, {"do": "pass", "what": "hydrogen-sulfide", "g": 1, "keeps": {"XeF2": 1}}, LOOK],
     "nothing in constants/ defines 'XeF2'"),
])
def test_what_cannot_be_done_is_refused_in_words(steps, words):
    assert words in told("group-1", *steps)


def test_a_way_that_the_test_has_not_is_refused():
    shape = {"magic": [OperationShape.model_validate(TAKE)]}

    assert "the test has no facet 'magic'." in [what for _place, what in faults(KB, KB.tests["naoh"], ways(shape))]


AMOUNT = re.compile(r"(\d+(?:\.\d+)?|one|two|three|four|five|six) (mL|g|drops?|°C)(?![\w/])")
NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}


def amounts_done(test):
    """(unit, amount) of everything that is done in a test, and in the schemes before it."""
    sequences = [*test.operations.values(), *(
        stage.first for scheme in KB.schemes.values() for stage in scheme.stages if stage.first)]
    done = {("mL", scheme.tube_mL) for scheme in KB.schemes.values()}
    for operation in (each for sequence in sequences for each in sequence):
        done |= {("mL", operation.volume_mL), ("mL", operation.to_mL), ("g", operation.g),
                 ("°C", operation.celsius), ("drop", round(operation.volume_mL / DROP_mL))}
    return done


@pytest.mark.parametrize("test", TESTS, ids=lambda test: test.id)
def test_every_amount_that_the_procedure_tells_is_an_amount_that_is_done(test):
    told = [(unit.rstrip("s"), float(NUMBERS.get(number, number))) for number, unit in AMOUNT.findall(test.procedure)]

    assert set(told) - amounts_done(test) == set()
