"""The draw measured: `python -m tests.benchmarks.draw [--only NAME] [--exams N]`.

Time (of one processor: other programs do not count), method and proof of the draw for one exam of each size; side by side with a plain random draw and with a
greedy colouring (networkx), the broken hard rules and the imbalance of each. `--exams N` draws N random exams
(1,000 for the property) and counts broken hard rules, refusals and what was proven.
"""

import argparse
import time
from collections import Counter
from dataclasses import replace
from random import Random

import networkx

from examkit.planning.allocation import draw
from examkit.planning.balance import measures
from examkit.planning.plan import Choice, Entrant, Plan, Seat
from examkit.planning.said import AllRefused
from examkit.planning.sharing import shared_cations
from tests.planning import random_exams
from tests.planning.rooms import hall

CLASS, COLOUR_BLIND = 25, 24  # candidates of a class; one in so many must not have some salts
SIZES = {  # name: candidates, salts, sittings of 5 x 8 benches
    "300 in 8 sittings, 20 salts": (300, 20, 8),
    "1,000 in 26 sittings, 20 salts": (1000, 20, 26),
    "3,000 in 76 sittings, 30 salts": (3000, 30, 76),
}
CENTRES = (40, 250, 20, 7)  # centres, candidates in each, salts, sittings


def exam(candidates, salts, sittings, first=0):
    """An exam as a college has it: classes, some candidates for whom salts are not, salts kept apart, stock, and
    pairs of sittings close in time."""
    halls = tuple(hall(f"sitting {index:02}", 5, 8) for index in range(sittings))
    pool = tuple(
        Choice(f"salt {index:02}", (f"cation {index % (3 * salts // 5):02}",),
               candidates // salts + 8 if index % 5 == 0 else None,
               ("look alike",) if index in (1, 2) else (), 250 + 37 * index % 400)
        for index in range(salts)
    )
    entrants = tuple(
        Entrant(f"n{first + index:05}", group=f"class {index // CLASS}",
                never=("salt 03", "salt 04") if index % COLOUR_BLIND == 7 else ())
        for index in range(candidates)
    )
    close = tuple((f"sitting {n:02}", f"sitting {n + 1:02}") for n in range(0, sittings - 1, 2))
    return Plan(halls, entrants, pool, close)


def at_random(plan, seed=1):
    """Seats and salts by chance, no rule asked."""
    chance = Random(seed)
    places = [(one.name, bench.label) for one in plan.halls for bench in one.benches]
    chance.shuffle(places)
    return [Seat(one.number, *place, chance.choice(plan.pool).salt)
            for one, place in zip(plan.entrants, places, strict=False)]


def coloured(plan, seed=1):
    """Seats by chance, salts as the colours of a greedy colouring of neighbouring (and close) seats."""
    seats = at_random(plan, seed)
    used = {(seat.sitting, seat.bench) for seat in seats}
    graph = networkx.Graph()
    graph.add_nodes_from(sorted(used))
    for one in plan.halls:
        graph.add_edges_from(((one.name, a.label), (one.name, b.label)) for a, b in one.neighbours()
                             if (one.name, a.label) in used and (one.name, b.label) in used)
    for earlier, later in plan.close:
        graph.add_edges_from(((earlier, label), (later, label)) for name, label in used
                             if name == earlier and (later, label) in used)
    colour = networkx.greedy_color(graph, strategy="largest_first")
    return [replace(seat, salt=plan.pool[colour[seat.sitting, seat.bench] % len(plan.pool)].salt) for seat in seats]


def told(title, plan, seats, seconds, remark=""):
    """One line: time, broken hard rules, neighbours that share a cation, imbalance."""
    broken = random_exams.broken(plan, list(seats))
    shared = sum(
        len(shared_cations(plan, one, {s.bench: s.salt for s in seats if s.sitting == one.name}))
        for one in plan.halls
    )
    uneven = measures(plan, seats)
    print(f"  {title:18} {seconds:7.2f} s  broken hard rules {len(broken):5}  shared cations {shared:5}  "
          f"imbalance {sum(uneven.values()):6} {list(uneven.values())}  {remark}", flush=True)


def timed(work):
    """Seconds of one processor that a piece of work takes, and its result (other programs do not count)."""
    start = time.process_time()
    result = work()
    return time.process_time() - start, result


def side_by_side(name):
    """Our draw, a random one and a greedy colouring of the same exam."""
    candidates, salts, sittings = SIZES[name]
    plan = exam(candidates, salts, sittings)
    print(name)
    seconds, drawn = timed(lambda: draw(plan, "benchmark"))
    gap = "; ".join(f"{measure} {reached}, bound {bound}" for measure, reached, bound in drawn.gap)
    told("the draw", plan, drawn.seats, seconds, f"{drawn.method}, {'proven best' if drawn.proven else gap}")
    for title, way in (("at random", at_random), ("greedy colouring", coloured)):
        seconds, seats = timed(lambda way=way: way(plan))
        told(title, plan, seats, seconds)


def over_centres():
    """Centres one after the other: each is an exam of its own, so that time grows in a line."""
    many, candidates, salts, sittings = CENTRES
    print(f"{many * candidates} candidates over {many} centres")
    start, broken, proven = time.process_time(), 0, 0
    for centre in range(1, many + 1):
        plan = exam(candidates, salts, sittings, first=candidates * centre)
        drawn = draw(plan, f"centre {centre}")
        broken += len(random_exams.broken(plan, drawn.seats))
        proven += drawn.proven
        if centre in (1, many // 4, many // 2, many):
            took = time.process_time() - start
            print(f"  {centre:3} centres {took:7.2f} s, {took / centre:.2f} s each", flush=True)
    print(f"  broken hard rules {broken}, proven best {proven} of {many}")


def random_many(number):
    """The property over many random exams."""
    methods, refused, proven, broken = Counter(), Counter(), 0, 0
    start = time.perf_counter()
    for index in range(number):
        plan = random_exams.exam(index)
        try:
            drawn = draw(plan, f"exam {index}")
        except AllRefused as problem:
            refused[str(problem)[:60]] += 1
            continue
        methods[drawn.method] += 1
        proven += drawn.proven
        found = random_exams.broken(plan, drawn.seats)
        broken += len(found)
        if found:
            print(f"  exam {index}: {found}")
        if index % 100 == 99:
            print(f"  {index + 1} exams, {time.perf_counter() - start:.0f} s", flush=True)
    print(f"{number} random exams: broken hard rules {broken}; drawn {sum(methods.values())} {dict(methods)}, "
          f"proven best {proven}; refused {sum(refused.values())}")
    for why, times in refused.most_common():
        print(f"  {times:4} {why}...")


def main():
    """All sizes, the centres, or the random exams."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", help="part of the name of a size, or 'centres'")
    parser.add_argument("--exams", type=int, default=0, help="so many random exams instead")
    asked = parser.parse_args()
    if asked.exams:
        return random_many(asked.exams)
    for name in SIZES:
        if not asked.only or asked.only in name:
            side_by_side(name)
    if not asked.only or asked.only == "centres":
        over_centres()
    return None


if __name__ == "__main__":
    main()
