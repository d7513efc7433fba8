"""Needs in free words: what is plain is read, what is not is told and never guessed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from examkit.planning.needs import BETWEEN, PHRASES, read_needs
from examkit.planning.roster import read_roster


def only(data):
    reading = read_roster(data, "list.csv")
    assert not reading.problems, [str(one) for one in reading.problems]
    return reading.entries[0], reading


@pytest.mark.parametrize(("words", "found"), [
    ("colour-blind", {"colour_help": True}),
    ("Color blind", {"colour_help": True}),
    ("red-green", {"colour_help": True}),
    ("Left-handed", {"left_handed": True}),
    ("25 % extra time", {"extra_time": 25}),
    ("Extra time 25%", {"extra_time": 25}),
    ("extra time: 50 per cent", {"extra_time": 50}),
    ("extra time (25 %)", {"extra_time": 25}),
    ("+25% extra time", {"extra_time": 25}),
    ("time and a quarter", {"extra_time": 25}),
    ("rest breaks and separate room", {"rest_breaks": True, "separate_room": True}),
    ("extra time 25 %, colour-blind; left-handed", {"extra_time": 25, "colour_help": True, "left_handed": True}),
    ("none", {}), ("-", {}), ("n/a", {}), ("", {}),
])
def test_plain_words_are_read(words, found):
    assert read_needs(words) == (found, ())


@pytest.mark.parametrize("words", [
    "not colour-blind", "no extra time", "extra time", "extra time 30 minutes", "extra time 25", "epilepsy", "left",
    "extra time 900 %", "right-handed",
])
def test_what_is_not_plain_is_kept_as_it_stands_and_gives_nothing(words):
    assert read_needs(words) == ({}, (words,))


def test_of_two_extra_times_the_second_is_told():
    assert read_needs("extra time 25 %; extra time 50 %") == ({"extra_time": 25}, ("extra time 50 %",))


@given(st.text(max_size=60))
def test_no_word_is_lost_and_nothing_raises(text):
    found, unread = read_needs(text)
    for phrase in BETWEEN.split(text):
        assert phrase.strip() in unread or read_needs(phrase)[0] or not read_needs(phrase)[1]
    assert set(found) <= {*PHRASES, "extra_time"}


# In a class list

def test_a_column_of_needs_is_read_beside_the_others():
    entry, reading = only(b"No,Name,Rest breaks,Access arrangements\n1,Ada,yes,extra time 25 %; left-handed\n")

    assert (entry.rest_breaks, entry.extra_time, entry.left_handed, reading.unread) == (True, 25, True, ())


def test_words_that_are_not_understood_are_told_with_line_and_candidate():
    _entry, reading = only(b"No,Name,Needs\n1,Ada,reader; colour-blind\n")

    assert [str(one) for one in reading.unread] == [
        "line 2, column Needs: 'reader' of candidate 1 was not understood."]


def test_two_columns_that_say_different_extra_times_are_refused():
    reading = read_roster(b"No,Name,Extra time,Needs\n1,Ada,50,extra time 25 %\n", "list.csv")

    assert [str(one) for one in reading.problems] == [
        "line 2, column Extra time: 50 % here, but 25 % in the column of needs. Write one of the two."]


def test_a_column_that_is_not_read_is_counted_where_it_holds_something():
    _entry, reading = only(b"No,Name,Hobby,Shoes\n1,Ada,tea,\n2,Ben,,\n")

    assert reading.ignored == (("Hobby", 1),)


# Colour vision

@pytest.mark.parametrize(("word", "helped"), [
    ("red-green", True), ("Colour-blind", True), ("deutan", True), ("normal", False), ("no", False), ("", False),
])
def test_colour_vision_is_answered_in_words(word, helped):
    entry, reading = only(f"No,Name,Colour vision\n1,Ada,{word}\n".encode())

    assert entry.colour_help is helped
    assert any("needs help with colours" in str(one) for one in reading.remarks) is helped


def test_help_with_colours_cannot_be_misread_and_is_not_remarked_on():
    entry, reading = only(b"No,Name,Help with colours\n1,Ada,yes\n")

    assert entry.colour_help and reading.remarks == ()
