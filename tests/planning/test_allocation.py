"""The draw: the rules are kept, what cannot be is refused or said, and chance is fair and reproducible."""

import subprocess
import sys
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.planning.allocation import draw, try_out
from examkit.planning.plan import Entrant, Hall, Plan
from examkit.planning.said import AllRefused
from tests.planning.rooms import (
    TWELVE,
    TWELVE_OF_FOUR,
    TWO_ROOMS,
    benches,
    cations,
    crowd,
    hall,
    plan,
    pool,
    touching,
)


def refusal(plan_):
    with pytest.raises(AllRefused) as refused:
        draw(plan_, "seed")
    return str(refused.value)


@pytest.mark.parametrize("salts", [TWELVE, TWELVE_OF_FOUR], ids=["twelve cations", "four cations"])
def test_forty_candidates_in_two_full_rooms_keep_every_rule(salts):
    given_ = plan(salts=salts)

    drawn = draw(given_, "seed")

    held = cations(given_)
    assert all(held[one.salt].isdisjoint(held[other.salt]) for one, other in touching(given_, drawn))
    assert len({(seat.sitting, seat.bench) for seat in drawn.seats}) == 40
    assert drawn.uneven <= 1 and drawn.uneven_in_sitting <= 1
    assert drawn.shared_cations == () and drawn.proven


def test_the_same_plan_and_seed_give_the_same_draw_in_whatever_order_they_were_typed():
    given_ = plan()
    turned = Plan(given_.halls[::-1], given_.entrants[::-1], given_.pool[::-1])

    assert draw(turned, "seed") == draw(given_, "seed")


def test_the_draw_does_not_depend_on_pythons_hash_seed():
    program = ("from tests.planning.rooms import *; from examkit.planning.allocation import draw;"
               "print(draw(plan(salts=TWELVE_OF_FOUR), 'seed').seats_json())")
    said = [
        subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True,  # noqa: S603
                       env={"PYTHONHASHSEED": seed, "PATH": ""}).stdout
        for seed in ("1", "2")
    ]
    assert said[0] == said[1] != ""


def test_another_seed_gives_another_draw():
    assert draw(plan(), "seed").seats != draw(plan(), "other").seats


def test_three_hundred_candidates_in_fifteen_sittings_keep_every_rule():
    given_ = plan(300, [hall(f"sitting {n:02}") for n in range(15)], TWELVE_OF_FOUR)

    drawn = draw(given_, "seed")

    held = cations(given_)
    assert all(held[one.salt].isdisjoint(held[other.salt]) for one, other in touching(given_, drawn))
    assert drawn.uneven == 0 and drawn.uneven_in_sitting == 1


def test_a_full_hall_with_four_cations_is_drawn_though_only_a_rigid_pattern_fits():
    given_ = plan(120, [hall("hall", 12, 10)], TWELVE_OF_FOUR)

    drawn = draw(given_, "seed")

    held = cations(given_)
    assert all(held[one.salt].isdisjoint(held[other.salt]) for one, other in touching(given_, drawn))


def test_a_salt_with_two_cations_is_kept_from_neighbours_with_either():
    salts = pool("K Al", "K", "Al", "N Fe", "Fe", "N", "Cu", "Zn")
    given_ = plan(20, [hall()], salts)

    drawn = draw(given_, "seed")

    held = cations(given_)
    assert all(held[one.salt].isdisjoint(held[other.salt]) for one, other in touching(given_, drawn))
    assert drawn.shared_cations == ()


def test_with_three_cations_in_a_full_room_the_fewest_possible_are_shared_and_it_is_said():
    given_ = plan(20, [hall()], pool(*"ABCABCABCABC"))

    drawn = draw(given_, "seed")

    # twelve corners of four benches, at each a pair must share, and a pair meets at two corners at most
    assert len(drawn.shared_cations) == 6
    assert drawn.method == "fewest shared cations"
    assert all(one.salt != other.salt for one, other in touching(given_, drawn))


def test_a_pool_of_one_cation_still_keeps_equal_salts_apart():
    given_ = plan(20, [hall()], pool(*"AAAAAA"))

    drawn = draw(given_, "seed")

    assert all(one.salt != other.salt for one, other in touching(given_, drawn))
    assert len(drawn.shared_cations) == len(touching(given_, drawn))


def test_where_cations_are_lopsided_they_stay_apart_and_the_counts_give_way():
    given_ = plan(40, TWO_ROOMS, pool(*"AAAAAABBBBCD"))

    drawn = draw(given_, "seed")

    assert drawn.shared_cations == ()
    assert drawn.uneven > 1


def test_three_cations_suffice_where_the_room_is_not_full():
    assert draw(plan(10, [hall()], pool(*"ABCABC")), "seed").shared_cations == ()


def test_closed_benches_stay_empty():
    given_ = plan(18, [hall(without=("A1", "C3"))])

    assert {"A1", "C3"}.isdisjoint(seat.bench for seat in draw(given_, "seed").seats)


def test_neighbours_of_different_sittings_may_have_the_same_salt():
    tiny = (hall("morning", 1, 2), hall("afternoon", 1, 2))

    assert len(draw(plan(4, tiny, pool("A", "B")), "seed").seats) == 4


def test_sittings_fill_evenly():
    sittings = Counter(seat.sitting for seat in draw(plan(31), "seed").seats)

    assert sorted(sittings.values()) == [15, 16]


def test_a_smaller_room_gets_fewer():
    halls = (hall("large", 5, 4), hall("small", 2, 5))

    sittings = Counter(seat.sitting for seat in draw(plan(15, halls), "seed").seats)

    assert sittings == {"large": 10, "small": 5}


def test_wishes_for_a_sitting_and_a_bench_are_kept():
    given_ = plan(n003={"sitting": "morning", "bench": "A1"}, n007={"sitting": "afternoon"}, n009={"bench": "E4"})

    seats = {seat.number: seat for seat in draw(given_, "seed").seats}

    assert (seats["n003"].sitting, seats["n003"].bench) == ("morning", "A1")
    assert seats["n007"].sitting == "afternoon"
    assert seats["n009"].bench == "E4"


def test_a_room_full_of_wishes_is_kept_too():
    wishes = {f"n{n:03}": {"sitting": "morning"} for n in range(20)}

    seats = {seat.number: seat for seat in draw(plan(**wishes), "seed").seats}

    assert all(seats[number].sitting == "morning" for number in wishes)


def test_salts_to_avoid_are_avoided():
    only = {"avoid": tuple(choice.salt for choice in TWELVE[1:])}
    given_ = plan(n000=only, n001=only | {"sitting": "morning", "bench": "B2"})

    for seed in "abc":
        drawn = draw(given_, seed)
        assert {s.salt for s in drawn.seats if s.number in ("n000", "n001")} == {TWELVE[0].salt}
        assert drawn.not_avoided == ()


def test_who_cannot_avoid_a_salt_is_named():
    avoid = {"avoid": tuple(choice.salt for choice in TWELVE)}

    drawn = draw(plan(n005=avoid), "seed")

    assert [number for number, _salt in drawn.not_avoided] == ["n005"]


# Refusals

def test_trying_out_refuses_what_the_draw_would_refuse():
    try_out(plan(20, [hall()], pool("A", "A", "A", "A")))
    for impossible in (plan(41), plan(20, [hall()], pool("A", "B", "C"))):
        with pytest.raises(AllRefused):
            try_out(impossible)


def test_everything_that_is_missing_is_told_at_once():
    said = refusal(Plan((), (), ()))

    assert "no candidates" in said and "no sitting" in said and "pool has 0 salts" in said


def test_more_candidates_than_benches_are_refused_with_the_way_out():
    assert "41 candidates, but only 40 open benches in all sittings. Add a sitting" in refusal(plan(41))


def test_a_full_room_and_three_salts_are_refused_with_the_number_needed():
    said = refusal(plan(20, [hall()], pool("A", "B", "C")))

    assert "A1, A2, B1, B2 all meet at one corner" in said
    assert "4 salts are needed; the pool has 3" in said
    assert "Add salts to the pool, or close benches." in said


def test_an_unknown_sitting_is_refused_by_name():
    said = refusal(plan(2, n001={"sitting": "evening"}))

    assert "Candidate n001 is entered for the sitting 'evening'; this exam has 'afternoon', 'morning'" in said


def test_too_many_wishes_for_one_sitting_are_refused():
    wishes = {f"n{n:03}": {"sitting": "morning"} for n in range(21)}

    assert "21 candidates are entered for the sitting 'morning', which has 20 open benches" in refusal(plan(**wishes))


def test_a_closed_bench_that_is_asked_for_is_refused():
    given_ = Plan((hall(without=("A1",)),), (Entrant("1", bench="A1"), Entrant("2")), TWELVE)

    assert "Candidate 1 asks for bench A1, which is not an open bench" in refusal(given_)


def test_two_candidates_on_one_bench_are_refused():
    wish = {"sitting": "morning", "bench": "A1"}

    assert "Candidates n000, n001 ask for the same bench A1" in refusal(plan(n000=wish, n001=wish))


# Fairness

CRITICAL = {11: 31.26, 19: 43.82}  # chi-square, p = 0.001; any statistical table (memory)


def chi_square(observed, expected):
    return sum((number - expected) ** 2 / expected for number in observed)


def test_over_many_seeds_each_candidate_gets_each_salt_about_equally_often():
    given_ = plan(12, [hall("room", 4, 4)])
    times = 144
    got = Counter()
    for seed in range(times):
        got.update((seat.number, seat.salt) for seat in draw(given_, f"fair {seed}").seats)

    beyond = [
        one.number for one in given_.entrants
        if chi_square([got[one.number, choice.salt] for choice in given_.pool], times / 12) > CRITICAL[11]
    ]
    assert len(beyond) <= 1, "at p = 0.001 hardly one of twelve candidates may lie beyond"


def test_a_candidate_with_a_fixed_bench_has_the_same_chance():
    given_ = plan(12, [hall("room", 4, 4)], n000={"sitting": "room", "bench": "B2"})
    got = Counter(
        next(seat.salt for seat in draw(given_, f"fixed {seed}").seats if seat.number == "n000") for seed in range(120)
    )
    assert chi_square([got[choice.salt] for choice in given_.pool], 120 / 12) < CRITICAL[11]


def test_over_many_seeds_each_bench_is_as_likely_for_a_candidate():
    given_ = plan(20, [hall()])
    got = Counter(
        next(seat.bench for seat in draw(given_, f"bench {seed}").seats if seat.number == "n000") for seed in range(120)
    )
    assert chi_square([got[bench.label] for bench in given_.halls[0].benches], 120 / 20) < CRITICAL[19]


# Properties

@st.composite
def plans(draw_from):
    halls = []
    for name in draw_from(st.lists(st.sampled_from("PQR"), min_size=1, max_size=3, unique=True)):
        every = benches(draw_from(st.integers(1, 4)), draw_from(st.integers(1, 4)))
        open_ = draw_from(st.sets(st.sampled_from(every), min_size=1))
        halls.append(Hall(name, tuple(sorted(open_))))
    places = sum(len(one.benches) for one in halls)
    held = draw_from(st.lists(st.sets(st.sampled_from("ABCDEF"), min_size=1, max_size=2), min_size=4, max_size=9))
    return Plan(tuple(halls), crowd(draw_from(st.integers(1, places))), pool(*(" ".join(sorted(c)) for c in held)))


@settings(max_examples=60, deadline=None)
@given(plans(), st.text(max_size=5))
def test_whatever_the_rooms_and_the_pool_equal_salts_are_never_neighbours_and_nobody_is_forgotten(given_, seed):
    drawn = draw(given_, seed)

    assert {seat.number for seat in drawn.seats} == {one.number for one in given_.entrants}
    assert len({(seat.sitting, seat.bench) for seat in drawn.seats}) == len(drawn.seats)
    open_ = {(one.name, bench.label) for one in given_.halls for bench in one.benches}
    assert open_ >= {(seat.sitting, seat.bench) for seat in drawn.seats}
    held, pairs = cations(given_), touching(given_, drawn)
    assert all(one.salt != other.salt for one, other in pairs)
    assert len(drawn.shared_cations) == sum(not held[a.salt].isdisjoint(held[b.salt]) for a, b in pairs)
