"""Chance from a seed: fair, and the same everywhere."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from examkit.planning.chance import Stream


def test_the_stream_is_fixed_for_ever():
    # worked out once with hashlib alone: SHA-256(SHA-256(label, seed, purpose) + counter), first 64 bits, modulo 1000
    stream = Stream("seed", "purpose")

    assert [stream.below(1000) for _time in range(5)] == [int(word, 16) % 1000 for word in words()]


def words():
    from hashlib import sha256

    key = sha256(b"examkit chance 1\x00seed\x00purpose").digest()
    return [sha256(key + bytes(7) + bytes([counter])).hexdigest()[:16] for counter in range(1, 6)]


def test_another_purpose_gives_other_numbers():
    assert Stream("seed", "one").below(2**60) != Stream("seed", "other").below(2**60)


def test_every_order_of_three_is_about_equally_likely():
    orders = Counter(tuple(Stream(f"s{n}", "order").shuffled("abc")) for n in range(6000))

    assert len(orders) == 6
    assert sum((number - 1000) ** 2 / 1000 for number in orders.values()) < 20.5  # chi-square, 5 df, p = 0.001


@given(st.lists(st.integers()), st.text())
def test_a_shuffle_keeps_all_items(items, seed):
    assert sorted(Stream(seed, "x").shuffled(items)) == sorted(items)


@given(st.integers(1, 2**63), st.text())
def test_a_number_lies_below_its_limit(limit, seed):
    assert 0 <= Stream(seed, "x").below(limit) < limit
