"""The choice of a sample: for any records and markers the same from a seed, spread, and nobody's own."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grading.second.choice import Entry, able, choose
from grading.second.forms import read_size

people = st.integers(1, 5)
entries = st.lists(
    st.builds(Entry, code=st.integers(1, 10**6).map(str), salt=st.sampled_from("ABCD"), sitting=st.integers(1, 3),
              firsts=st.sets(people, min_size=1, max_size=2).map(sorted).map(tuple)),
    max_size=30, unique_by=lambda entry: entry.code)
markers = st.sets(people, min_size=1).map(sorted)
seeds, sizes = st.text(max_size=8), st.integers(0, 35)


@given(entries, markers, sizes, seeds)
def test_the_same_seed_chooses_the_same_in_whatever_order_records_come(records, who, size, seed):
    assert choose(records, who, size, seed) == choose(records[::-1], who[::-1], size, seed)


@given(entries, markers, sizes, seeds)
def test_as_many_as_can_be_are_chosen_each_once_and_never_for_who_marked_it_first(records, who, size, seed):
    chosen, by_code = choose(records, who, size, seed), {entry.code: entry for entry in records}

    assert len(chosen) == len(dict(chosen)) == min(size, sum(bool(able(entry, who)) for entry in records))
    assert all(marker in who and marker not in by_code[code].firsts for code, marker in chosen)


@given(entries, sizes, seeds)
def test_no_first_examiner_is_drawn_twice_more_than_another_who_has_records_left(records, size, seed):
    chosen = dict(choose(records, [99], size, seed))
    taken = Counter(entry.firsts for entry in records if entry.code in chosen)
    left = Counter(entry.firsts for entry in records if entry.code not in chosen)

    assert all(taken[firsts] <= taken[other] + 1 for firsts in taken for other in left)


@given(entries, sizes, seeds)
def test_among_the_records_of_one_examiner_no_salt_is_drawn_twice_more_than_another(records, size, seed):
    mine = [Entry(entry.code, entry.salt, entry.sitting, (1,)) for entry in records]
    chosen = dict(choose(mine, [99], size, seed))
    taken = Counter(entry.salt for entry in mine if entry.code in chosen)
    left = {entry.salt for entry in mine if entry.code not in chosen}

    assert all(taken[salt] <= taken[other] + 1 for salt in taken for other in left)


@given(entries, sizes, seeds)
def test_work_is_even_over_markers_who_may_mark_all(records, size, seed):
    load = Counter({98: 0, 99: 0})
    load.update(marker for _code, marker in choose(records, [98, 99], size, seed))

    assert abs(load[98] - load[99]) <= 1


@given(entries, st.integers(1, 10), st.integers(1, 10), seeds)
def test_what_was_drawn_before_counts_in_the_spread(records, before, more, seed):
    first = dict(choose(records, [99], before, seed))
    already = [(entry, 99) for entry in records if entry.code in first]
    left = [entry for entry in records if entry.code not in first]
    both = first | dict(choose(left, [99], more, seed + "more", already))
    taken = Counter(entry.firsts for entry in records if entry.code in both)

    assert all(taken[firsts] <= taken[entry.firsts] + 1
               for firsts in taken for entry in records if entry.code not in both)


@pytest.mark.parametrize(("typed", "of", "size"), [
    ("12", 40, 12), ("10 %", 26, 3), ("100%", 7, 7), (" 1 ", 9, 1), ("0", 9, None), ("101 %", 9, None),
    ("-3", 9, None), ("1.5", 9, None), ("many", 9, None), ("", 9, None), ("٣", 9, None), ("%", 9, None)])
def test_a_size_is_a_number_or_a_share_rounded_up(typed, of, size):
    assert read_size(typed, of) == size
