"""How long equilibria take, first and from the cache: `python -m tests.benchmarks.equilibria`.

The floor is one solve of one tube; tables and specimens are given as multiples of it.
"""

import time

from examkit.chemistry.equilibria.disagreements import disagreements
from examkit.chemistry.equilibria.margin import margin_of
from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.equilibria.table import margins_of_specimen, table
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen


def took(work):
    """Seconds that a call takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def floor(kb):
    """Seconds of one solve: the mean of a hundred tubes that differ, the solver being warm."""
    solve(kb.constants, mixture({"Ba2+": 0.1, "Cl-": 0.2}))
    tubes = [mixture({"Pb2+": 0.02 + i / 2000, "H+": 0.5, "Cl-": 0.5}) for i in range(100)]
    return took(lambda: [solve(kb.constants, tube) for tube in tubes]) / len(tubes)


def every_salt(kb, scheme):
    """All margins of every salt of the base that dissolves."""
    for salt in kb.salts.values():
        if salt.dissolves_in != "nothing":
            margins_of_specimen(kb, scheme, read_specimen(kb, salt.formula))


def main():
    """Print each, as seconds and as a multiple of one solve."""
    kb = load()
    scheme = kb.schemes["semimicro"]
    one = floor(kb)
    rows = {
        "one solve": one,
        "one margin, first": took(lambda: margin_of(kb, scheme, "group-4", "Ba2+", 0.1234)),
        "one margin, again": took(lambda: margin_of(kb, scheme, "group-4", "Ba2+", 0.1234)),
        "table of the scheme, first": took(lambda: table(kb, scheme)),
        "disagreements, table known": took(lambda: disagreements(kb, scheme)),
        "every salt of the base, first": took(lambda: every_salt(kb, scheme)),
        "every salt of the base, again": took(lambda: every_salt(kb, scheme)),
    }
    for title, seconds in rows.items():
        print(f"{title:32} {1000 * seconds:9.2f} ms  {seconds / one:9.1f} solves")


if __name__ == "__main__":
    main()
