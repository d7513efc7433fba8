"""The shipped base and its scheme, and constants of a single worked example."""

from math import log10

import pytest

from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.knowledge.constants import terms
from examkit.chemistry.knowledge.equilibrium import Constant, Constants
from examkit.chemistry.knowledge.load import load

WATER = ("H2O -> H+ + OH-", "acids", "OH-", 1.0e-14)


@pytest.fixture(scope="session")
def kb():
    return load()


@pytest.fixture(scope="session")
def scheme(kb):
    return kb.schemes["semimicro"]


@pytest.fixture
def example():
    """`example("PbI2 -> Pb2+ + 2 I-", 1.4e-8, {"Pb2+": 1, "I-": 2})`: a mixture solved as textbooks do."""

    def solve_with(reaction, K, totals, *others, **options):
        rows = [WATER, (reaction, "solids", terms(reaction)[0][0][1], K), *others]
        values = {s: Constant(s, kind, s, r, log10(k), 25.0, ()) for r, kind, s, k in rows}
        named = {word for r, _kind, _s, _k in rows for side in terms(r) for _n, word in side} | set(totals)
        basis = sorted(named - set(values) - {"H+", "H2O"})
        return solve(Constants(tuple(basis), {}, values), mixture(totals, ideal=True, **options))

    return solve_with
