"""How long a draw takes, and how well it keeps the rules: `python -m tests.benchmarks.draw [candidates ...]`."""

import sys
import time

from examkit.planning.allocation import draw
from tests.planning.rooms import TWELVE, TWELVE_OF_FOUR, hall, plan, pool

POOLS = {
    "12 salts, 12 cations": TWELVE,
    "12 salts, 4 cations": TWELVE_OF_FOUR,
    "12 salts, 3 cations": pool(*"ABCABCABCABC"),
    "12 salts, lopsided": pool(*"AAAAAABBBBCD"),
}


def measure(title, given):
    """Draw once and print what came of it."""
    start = time.perf_counter()
    drawn = draw(given, "benchmark")
    took = time.perf_counter() - start
    print(f"{title:45} {took:6.2f} s  {drawn.method:22} shared {len(drawn.shared_cations):4} "
          f"uneven {drawn.uneven}/{drawn.uneven_in_sitting}{'' if drawn.proven else '  not proven best'}")


def main(numbers):
    """Rooms of 5 x 4 for every pool, then one large hall."""
    for number in numbers:
        halls = [hall(f"sitting {index:03}") for index in range(-(-number // 20))]
        for name, salts in POOLS.items():
            measure(f"{number} in rooms of 5 x 4, {name}", plan(number, halls, salts))
    measure("300 in one hall of 15 x 20, 12 cations", plan(300, [hall("hall", 15, 20)], TWELVE))
    measure("300 in one hall of 15 x 20, 4 cations", plan(300, [hall("hall", 15, 20)], TWELVE_OF_FOUR))


if __name__ == "__main__":
    main([int(number) for number in sys.argv[1:]] or [40, 300])
