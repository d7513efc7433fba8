"""The shipped knowledge base and its scheme, for every test of the engine."""

import pytest

from examkit.chemistry.knowledge.load import load


@pytest.fixture(scope="session")
def kb():
    return load()


@pytest.fixture(scope="session")
def scheme(kb):
    return kb.schemes["semimicro"]
