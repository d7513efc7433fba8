"""Observations into findings: what, which colour, when, and what is denied."""

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.reading.chunks import LONGEST
from tests.reading.bench import read, words


def said(text, *names):
    """The findings of a text, each as a tuple of the attributes named."""
    return [tuple(getattr(finding, name) for name in names) for finding in read(text).findings]


def test_a_precipitate_that_dissolves_is_two_findings():
    assert said("White ppt, soluble in excess", "event", "step", "colours") == [
        ("precipitate", "", ("white",)),
        ("dissolves", "excess", ()),
    ]


def test_the_colour_of_the_solution_belongs_to_the_dissolving():
    assert said("pale blue ppt, dissolves in excess to a deep blue solution", "event", "colours")[1] == (
        "dissolves",
        ("deep blue",),
    )


@pytest.mark.parametrize(
    "text",
    [
        "no ppt",
        "ppt not formed",
        "No ppt. is formed",
        "no precipitate appears",
        "ppt absent",
        "without any ppt",
        "did not give ppt",
    ],
)
def test_a_denied_precipitate_is_no_precipitate(text):
    assert said(text, "event", "negated") == [("precipitate", True)]


def test_a_denial_reaches_as_far_as_or_does():
    assert said("no gas or smell", "event", "negated") == [("gas", True), ("smell", True)]


def test_a_denial_ends_at_but():
    assert said("no ppt but green colour", "event", "negated") == [("precipitate", True), ("colour", False)]


def test_a_denial_ends_at_a_comma():
    assert said("no ppt, green solution", "event", "negated") == [("precipitate", True), ("colour", False)]


def test_a_denied_white_precipitate_is_not_a_white_one():
    assert said("not a white ppt", "event", "colours", "negated") == [("precipitate", ("white",), True)]


@pytest.mark.parametrize(
    "text",
    [
        "insoluble in excess",
        "not in excess",
        "does not dissolve in excess",
        "not soluble in excess",
        "insol. in xs",
        "isn't soluble in excess",
        "doesn't dissolve in excess",
    ],
)
def test_insoluble_is_a_denied_dissolving(text):
    assert said(text, "event", "step", "negated") == [("dissolves", "excess", True)]


@pytest.mark.parametrize(
    "text", ["no change", "nil", "n.r.", "No reaction", "no visible change", "nothing happens", "none"]
)
def test_no_change_is_a_finding(text):
    assert said(text, "event") == [("none",)]


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("yellow when hot, white when cold", [("hot", "yellow"), ("cold", "white")]),
        ("hot: yellow, cold: white", [("hot", "yellow"), ("cold", "white")]),
        ("hot: yellow cold: white", [("hot", "yellow"), ("cold", "white")]),
        ("Yellow (hot), white (cold)", [("hot", "yellow"), ("cold", "white")]),
        ("yellow, hot; white, cold", [("hot", "yellow"), ("cold", "white")]),
        ("hot, yellow; cold, white", [("hot", "yellow"), ("cold", "white")]),
        ("yellow while hot and white on cooling", [("hot", "yellow"), ("cold", "white")]),
        ("when hot yellow, when cold white", [("hot", "yellow"), ("cold", "white")]),
    ],
)
def test_hot_and_cold_find_their_colours_in_whatever_order(text, steps):
    assert [(f.step, f.colours[0]) for f in read(text).findings] == steps


@pytest.mark.parametrize(
    "text",
    [
        "oxidising flame: violet hot, reddish brown cold; reducing flame: grey hot, grey cold",
        "O.F. hot violet, cold reddish brown; R.F. hot grey, cold grey",
        "violet hot, reddish brown cold in OF; grey hot and grey cold in RF",
        "bead in the oxidising flame: violet hot, reddish brown cold. Reducing flame: grey hot and cold",
    ],
)
def test_both_flames_of_the_bead_are_told_apart(text):
    assert [(f.step, f.colours[0]) for f in read(text).findings] == [
        ("oxidising hot", "violet"),
        ("oxidising cold", "reddish brown"),
        ("reducing hot", "grey"),
        ("reducing cold", "grey"),
    ]


def test_a_colour_before_it_turned_is_not_what_is_seen_then():
    assert said("white to yellow when hot", "colours", "step", "before") == [
        (("white",), "", True),
        (("yellow",), "hot", False),
    ]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("reddish-brown ppt", "reddish brown"),
        ("red brown ppt", "reddish brown"),
        ("dirty green ppt", "dirty green"),
        ("bluish green ppt", "bluish green"),
        ("blue-green ppt", "bluish green"),
        ("light green ppt", "pale green"),
        ("gray ppt", "grey"),
        ("colorless ppt", "colourless"),
        ("apple-green ppt", "apple green"),
        ("ppt is brick red", "brick red"),
        ("very pale green ppt", "pale green"),
        ("PALE GREEN PPT", "pale green"),
    ],
)
def test_colour_words_are_put_together(text, word):
    assert read(text).findings[0].colours == (word,)


def test_two_colours_with_or_are_both_said():
    assert read("pale green or white ppt").findings[0].colours == ("pale green", "white")


def test_a_formula_names_the_product():
    assert said("white ppt of PbCl2", "event", "product") == [("precipitate", "PbCl2")]


def test_a_gas_by_formula_with_its_colour():
    assert said("brown NO2 gas", "event", "gas", "colours") == [("gas", "NO2", ("brown",))]


def test_a_smell_tells_its_gas():
    assert said("rotten egg smell", "event", "smell", "smells_of") == [("smell", "rotten eggs", "H2S")]


def test_what_the_gas_does_to_a_paper():
    assert said("gas turns moist red litmus blue", "event", "effect", "colours") == [
        ("gas", None, ()),
        ("effect", "red litmus", ("blue",)),
    ]
    assert said("turns lime water milky", "effect", "texture") == [("lime water", "milky")]


def test_fumes_with_a_rod_are_what_the_rod_shows():
    assert said("dense white fumes with glass rod dipped in HCl", "event", "effect") == [
        ("effect", "rod with HCl")
    ]


def test_the_same_thing_seen_and_not_seen_is_a_doubt():
    assert read("white ppt, no white ppt").doubts


def test_a_candidate_who_is_not_sure_is_shown_to_the_examiner():
    assert read("perhaps white ppt").doubts


def test_a_stop_after_an_abbreviation_does_not_end_the_sentence():
    assert said("white ppt. sol. in xs", "event", "step") == [("precipitate", ""), ("dissolves", "excess")]


def test_words_of_another_language_are_kept_unread():
    reading = read("un précipité blanc, সাদা অধঃক্ষেপ")

    assert "précipité" in reading.unread_words
    assert not reading.sure


def test_markup_and_formulas_of_a_spreadsheet_are_only_text():
    for text in ("<script>alert(1)</script> white ppt", "=1+1", "{{ 7*7 }}", "white\x00ppt", "'; DROP TABLE"):
        read(text)


ALPHABET = st.one_of(
    st.text(max_size=80),
    st.lists(
        st.sampled_from(
            [
                "no",
                "white",
                "ppt",
                "in",
                "excess",
                ",",
                ".",
                "but",
                "hot",
                "cold",
                "turns",
                "OF",
                "gas",
                "not",
                "NH3",
                "smell",
                "soluble",
                ":",
                "and",
                "to",
                "blue",
                "litmus",
                "PbCl2",
                "?",
                "first",
                "then",
            ]
        ),
        max_size=14,
    ).map(" ".join),
)


@settings(max_examples=300, deadline=None)
@given(ALPHABET)
def test_any_text_is_read_without_an_error_and_no_word_is_lost(text):
    reading = read(text)

    covered = {
        at
        for spans in (reading.read, reading.filler, reading.unread)
        for start, end in spans
        for at in range(start, end)
    }
    lost = [c for at, c in enumerate(text) if c.isalnum() and at not in covered]
    assert lost == []


@settings(max_examples=200, deadline=None)
@given(ALPHABET)
def test_spans_do_not_overlap_and_stand_inside_the_text(text):
    reading = read(text)

    spans = sorted(reading.read + reading.filler + reading.unread)
    assert all(one[1] <= other[0] for one, other in zip(spans, spans[1:], strict=False))
    assert all(0 <= start < end <= len(text) for start, end in spans)


@given(st.text(alphabet=string.ascii_letters + "-' ", max_size=40))
def test_findings_only_hold_words_of_the_vocabulary(text):
    known = words().colours | {
        entry.means for entries in words().observation.phrases.values() for entry in entries
    }
    for finding in read(text).findings:
        assert set(finding.colours) <= known


def test_a_page_of_text_is_read_up_to_its_limit_and_the_rest_goes_to_a_person():
    reading = read("white ppt soluble in excess, " * 500)

    assert len(reading.findings) > 60
    assert reading.unread[-1] == (LONGEST, len(reading.text)) and not reading.sure


@pytest.mark.parametrize(
    "text",
    [
        "blue - scratched out - white ppt",
        "[no ppt - crossed out] white ppt came down",
        "black (crossed out) white ppt",
        "green ppt crossed out, white ppt",
    ],
)
def test_what_is_crossed_out_does_not_count_and_is_told(text):
    assert said(text, "event", "colours", "negated") == [("precipitate", ("white",), False)]
    assert "crossed out" in " ".join(read(text).why_unsure())


@pytest.mark.parametrize("text", ["did not do", "skipped", "not carried out", "no time left"])
def test_what_was_not_done_says_nothing(text):
    assert read(text).findings == ()


def test_nothing_and_a_verb_is_a_denial():
    assert said("nothing precipitates", "event", "negated") == [("precipitate", True)]


def test_what_is_seen_before_a_comma_is_not_seen_at_the_step_after_it():
    assert said("white gelatinous, in excess it is not dissolved", "colours", "step", "negated") == [
        (("white",), "", False),
        ((), "excess", True),
    ]


def test_a_sound_takes_no_colour():
    assert said("crackling, stays white", "event", "colours") == [("crackling", ()), ("colour", ("white",))]
