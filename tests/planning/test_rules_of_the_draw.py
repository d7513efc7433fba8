"""What the draw never does: random exams, each hard rule by itself, and fair chances within the rules."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.planning.allocation import draw
from examkit.planning.balance import measures
from examkit.planning.chance import Stream
from examkit.planning.plan import Choice, Entrant, Plan
from examkit.planning.rounding import rounded
from examkit.planning.said import AllRefused
from tests.planning import random_exams
from tests.planning.rooms import TWELVE, TWO_ROOMS, benches, crowd, hall, plan, pool

CHI_SQUARE = {7: 24.32, 11: 31.26}  # p = 0.001 by degrees of freedom; any statistical table (memory)


@pytest.mark.parametrize("number", range(40))
def test_random_exams_break_no_hard_rule_or_are_refused_with_a_way_out(number):
    given_ = random_exams.exam(number)
    try:
        drawn = draw(given_, f"exam {number}")
    except AllRefused as refused:
        assert str(refused).endswith((".", ")"))
        assert any(word in str(refused) for word in ("Add", "Mark", "Order", "frees"))
    else:
        assert random_exams.broken(given_, drawn.seats) == []


def college(candidates=60):
    """Three sittings of five times four, three classes, twelve salts of unlike difficulty."""
    halls = [hall(name) for name in ("one", "two", "three")]
    salts = tuple(replace(one, difficulty=200 + 60 * place) for place, one in enumerate(TWELVE))
    entrants = tuple(Entrant(f"n{n:03}", group=f"class {n % 3}") for n in range(candidates))
    return Plan(tuple(halls), entrants, salts)


# Each rule by itself

def test_salts_that_are_kept_apart_are_never_neighbours():
    salts = tuple(replace(one, marks=("alike",)) if place < 3 else one for place, one in enumerate(TWELVE))
    given_ = plan(salts=salts)

    assert random_exams.broken(given_, draw(given_, "seed").seats) == []


def test_no_salt_is_drawn_oftener_than_its_stock_and_the_others_share_the_rest_evenly():
    given_ = plan(salts=(replace(TWELVE[0], most=1), *TWELVE[1:]))

    drawn = draw(given_, "seed")

    assert drawn.counts["salt 00"] == 1
    assert {number for salt, number in drawn.counts.items() if salt != "salt 00"} <= {3, 4}
    assert drawn.proven


def test_a_salt_that_is_not_for_somebody_is_never_given_to_them():
    never = {"never": tuple(one.salt for one in TWELVE[2:])}
    given_ = plan(n000=never, n001=never, n002=never | {"bench": "A1"})

    seats = {seat.number: seat.salt for seat in draw(given_, "seed").seats}

    assert {seats[number] for number in ("n000", "n001", "n002")} <= {"salt 00", "salt 01"}


def test_in_sittings_close_in_time_a_bench_never_has_the_same_salt():
    given_ = replace(plan(), close=(("morning", "afternoon"),))

    assert random_exams.broken(given_, draw(given_, "seed").seats) == []


def test_benches_at_one_sink_are_neighbours_across_the_aisle():
    there = replace(hall("morning", 1, 2), links=(("A1", "A2"),))
    apart = (there.benches[0], replace(there.benches[1], column=5))
    given_ = Plan((replace(there, benches=apart),), crowd(2), pool("A", "A", "B"))

    drawn = draw(given_, "seed")

    assert drawn.shared_cations == () and len({seat.salt for seat in drawn.seats}) == 2


def test_left_handed_candidates_sit_at_benches_for_them():
    given_ = Plan((replace(hall(), left=("A1", "E4")),), (
        Entrant("n000", left=True), Entrant("n001", left=True), *crowd(20)[2:]), TWELVE)

    seats = {seat.number: seat.bench for seat in draw(given_, "seed").seats}

    assert {seats["n000"], seats["n001"]} == {"A1", "E4"}


def test_a_separate_room_is_for_those_who_need_it_and_for_nobody_else():
    halls = (hall("common"), replace(hall("apart", 1, 2), separate=True))
    given_ = Plan(halls, (Entrant("n000", separate=True), *crowd(20)[1:]), TWELVE)

    seats = {seat.number: seat.sitting for seat in draw(given_, "seed").seats}

    assert [number for number, sitting in seats.items() if sitting == "apart"] == ["n000"]


# Balance

def test_salts_cations_and_difficulty_are_even_in_sittings_and_classes_and_it_is_proven():
    given_ = college()

    drawn = draw(given_, "seed")

    assert drawn.balance == dict.fromkeys(drawn.balance, 0) == measures(given_, drawn.seats)
    assert drawn.proven and drawn.gap == ()


def test_an_imbalance_that_cannot_be_helped_is_told_and_proven_to_be_the_least():
    salts = (replace(TWELVE[0], difficulty=0), replace(TWELVE[1], difficulty=1000))
    given_ = Plan(TWO_ROOMS, (Entrant("n000", "morning"), Entrant("n001", "afternoon")), salts)

    drawn = draw(given_, "seed")

    assert drawn.balance["difficulty of sittings"] == 950  # each 500 from the mean, less the 25 that count as alike
    assert drawn.proven


def test_what_is_not_proven_best_is_told_with_its_bound():
    drawn = draw(plan(120, [hall("hall", 12, 10)], pool(*"ABCABCABCABC")), "seed")

    assert not drawn.proven and drawn.shared_cations
    assert dict((measure, bound) for measure, _reached, bound in drawn.gap)
    assert all(reached > bound >= 0 for _measure, reached, bound in drawn.gap)
    assert {measure for measure, _reached, _bound in drawn.gap} <= {"shared cations", *drawn.balance}


def test_uneven_counts_that_a_lopsided_pool_forces_are_proven():
    drawn = draw(plan(40, TWO_ROOMS, pool(*"AAAAAABBBBCD")), "seed")

    assert drawn.balance["salts"] > 0 and drawn.shared_cations == ()
    assert drawn.proven


# Refusals

def refusal(given_):
    with pytest.raises(AllRefused) as refused:
        draw(given_, "seed")
    return str(refused.value)


def test_too_little_stock_is_refused_with_the_numbers():
    salts = tuple(replace(one, most=3) for one in TWELVE)

    assert "The stock suffices for 36 samples" in (said := refusal(plan(salts=salts)))
    assert "there are 40 candidates" in said and "salt 00: 3" in said


def test_a_candidate_for_whom_no_salt_is_left_is_refused_by_number():
    said = refusal(plan(n003={"never": tuple(one.salt for one in TWELVE)}))

    assert "No salt of the pool is for candidate n003" in said and "Add a salt that suits" in said


def test_rules_in_conflict_are_named_with_what_would_free_them():
    never = {"never": tuple(one.salt for one in TWELVE[1:])}
    given_ = plan(salts=(replace(TWELVE[0], most=1), *TWELVE[1:]), n000=never, n001=never)

    said = refusal(given_)

    assert "cannot be kept together" in said
    assert "nobody gets a salt that is not for them" in said and "its stock allows" in said
    assert "Any one of these frees the draw" in said and "order more of the scarce salts" in said
    assert "close in time" not in said


def test_each_way_out_that_is_named_does_free_the_draw():
    never = {"never": tuple(one.salt for one in TWELVE[1:])}
    given_ = plan(salts=(replace(TWELVE[0], most=1), *TWELVE[1:]), n000=never, n001=never)

    assert draw(replace(given_, pool=TWELVE), "seed")
    assert draw(replace(given_, entrants=crowd(40)), "seed")


def test_too_few_benches_for_the_left_handed_are_refused():
    given_ = Plan((hall(),), (Entrant("n000", left=True), *crowd(5)[1:]), TWELVE)

    assert "A left-handed bench is needed for 1 (number n000), and the sittings have 0" in refusal(given_)


def test_no_separate_room_is_refused():
    given_ = Plan((hall(),), (Entrant("n000", separate=True), *crowd(5)[1:]), TWELVE)

    assert "Add a sitting in a room marked as separate." in refusal(given_)


# Fairness

def chi_square(observed, expected):
    return sum((number - expected) ** 2 / expected for number in observed)


def test_within_all_rules_and_balances_every_candidate_has_the_same_chance_of_each_salt():
    halls = (hall("one", 3, 4), hall("two", 3, 4))
    salts = tuple(replace(one, difficulty=100 * place) for place, one in enumerate(TWELVE))
    entrants = tuple(Entrant(f"n{n:03}", group="ab"[n % 2]) for n in range(24))
    given_ = Plan(halls, entrants, salts, close=(("one", "two"),))
    times, got = 120, Counter()
    for seed in range(times):
        got.update((seat.number, seat.salt) for seat in draw(given_, f"fair {seed}").seats)

    beyond = [
        one.number for one in entrants
        if chi_square([got[one.number, choice.salt] for choice in salts], times / 12) > CHI_SQUARE[11]
    ]
    assert len(beyond) <= 1, "at p = 0.001 hardly one of 24 candidates may lie beyond"


def test_who_must_not_have_some_salts_has_the_same_chance_of_each_other_one():
    never = tuple(one.salt for one in TWELVE[:4])
    given_ = plan(12, [hall("room", 4, 4)], n000={"never": never})
    got = Counter(
        next(seat.salt for seat in draw(given_, f"picky {n}").seats if seat.number == "n000") for n in range(160))

    assert not got.keys() & set(never)
    assert chi_square([got[one.salt] for one in TWELVE[4:]], 20) < CHI_SQUARE[7]


def test_shares_are_rounded_without_favour():
    table = {row: {salt: Fraction(1, 3) for salt in "abc"} for row in ("one", "two")}
    up = Counter()
    for seed in range(1200):
        up.update((row, salt) for row, cells in rounded(table, Stream(f"s{seed}", "x")).items()
                  for salt, number in cells.items() if number)
    assert chi_square(up.values(), 400) < 20.52  # 5 degrees of freedom, p = 0.001 (memory)


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 6), st.lists(st.integers(1, 12), min_size=1, max_size=6), st.text(max_size=4))
def test_rounded_shares_keep_their_rows_and_lie_next_to_the_shares(salts, sizes, seed):
    table = {f"hall {n}": {salt: Fraction(size, salts) for salt in range(salts)} for n, size in enumerate(sizes)}

    whole = rounded(table, Stream(seed, "x"))

    assert [sum(row.values()) for row in whole.values()] == sizes
    assert all(abs(whole[row][salt] - share) < 1 for row, cells in table.items() for salt, share in cells.items())
    total = Fraction(sum(sizes), salts)
    assert all(abs(sum(row[salt] for row in whole.values()) - total) < 1 for salt in range(salts))


def test_the_plan_is_kept_and_read_back_whole():
    given_ = random_exams.exam(7)

    assert Plan.from_json(given_.as_json()) == given_.sorted()
    assert Choice("x", ("A",)).most is None and benches(1, 1)
