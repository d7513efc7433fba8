"""Sample codes: unique, readable, silent, and a slip is noticed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.planning.codes import (
    LENGTH,
    LETTERS,
    CodeError,
    check_character,
    read_code,
    sample_codes,
    spaced,
)

NUMBERS = [f"{n:04}" for n in range(3000)]


def test_codes_are_unique_and_of_one_length():
    codes = sample_codes(NUMBERS, "seed")

    assert len(set(codes.values())) == 3000
    assert {len(code) for code in codes.values()} == {LENGTH}


def test_codes_hold_no_look_alikes_and_no_vowels():
    assert not set(LETTERS) & set("AEIOU" + "01L" + "2Z" + "5S" + "6G" + "8B")


def test_the_same_seed_gives_the_same_codes_whatever_the_order_of_the_list():
    assert sample_codes(NUMBERS[::-1], "seed") == sample_codes(NUMBERS, "seed")


def test_codes_do_not_follow_the_order_of_the_candidates():
    drawn = sample_codes(NUMBERS, "seed")
    codes = [drawn[number] for number in NUMBERS[:200]]
    rising = sum(one < other for one, other in zip(codes, codes[1:], strict=False))

    assert 70 < rising < 130  # about half of the steps go up, as chance has it


codes_typed = st.text(LETTERS, min_size=LENGTH - 1, max_size=LENGTH - 1).map(lambda body: body + check_character(body))


@settings(max_examples=200)
@given(codes_typed, st.integers(0, LENGTH - 1), st.sampled_from(LETTERS))
def test_any_one_wrong_character_is_noticed(code, place, letter):
    wrong = code[:place] + letter + code[place + 1:]
    if wrong == code:
        assert read_code(wrong) == code
    else:
        with pytest.raises(CodeError, match="holds a slip"):
            read_code(wrong)


@settings(max_examples=200)
@given(codes_typed, st.integers(0, LENGTH - 1), st.integers(0, LENGTH - 1))
def test_any_exchange_of_two_characters_is_noticed(code, one, other):
    letters = list(code)
    letters[one], letters[other] = letters[other], letters[one]
    wrong = "".join(letters)
    if wrong != code:
        with pytest.raises(CodeError):
            read_code(wrong)


@given(codes_typed)
def test_a_code_is_read_as_printed_and_in_small_letters(code):
    assert read_code(spaced(code).lower()) == code


def test_a_strange_character_is_named():
    with pytest.raises(CodeError, match="never hold O"):
        read_code("K7HO4P")


def test_a_short_code_is_refused_with_its_length():
    with pytest.raises(CodeError, match="6 characters, not 3"):
        read_code("K7H")
