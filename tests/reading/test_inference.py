"""Inferences into claims: ions old and new, groups, salts, and how firmly."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grading.reading.drawn import drawn_in
from grading.reading.inference import read_inference
from tests.reading.bench import base, claims, words

NICKEL = ("Ni2+",)


@pytest.mark.parametrize(
    "name",
    [
        "Ni2+",
        "Ni++",
        "Ni²⁺",
        "Ni^2+",
        "Ni+2",
        "Ni(II)",
        "nickel",
        "Nickelous",
        "nickel ion",
        "nickel(II)",
        "nickel (II) ion",
        "Ni",
        "ni2+",
        "NICKEL",
        "basic radical Ni2+",
        "nickel II",
        "Ni 2+",
    ],
)
def test_an_ion_goes_by_many_names(name):
    assert [ions for ions, _firmness in claims(f"{name} may be present")] == [NICKEL]


@pytest.mark.parametrize(
    "name",
    [
        "SO4^2-",
        "SO42-",
        "SO4--",
        "SO₄²⁻",
        "SO4 2-",
        "sulphate",
        "Sulfate",
        "sulphate ion",
        "sulphates",
        "so4^2-",
    ],
)
def test_an_anion_goes_by_many_names(name):
    assert claims(f"{name} confirmed") == [(("SO4^2-",), "confirmed")]


@pytest.mark.parametrize(
    ("text", "firmness"),
    [
        ("Ni2+ may be present", "maybe"),
        ("may be Ni2+", "maybe"),
        ("Ni2+ present", "present"),
        ("Ni2+ is confirmed", "confirmed"),
        ("Ni2+ absent", "absent"),
        ("not Ni2+", "absent"),
        ("no Ni2+", "absent"),
        ("Ni2+ is not present", "absent"),
        ("Ni2+", "maybe"),
        ("absence of Ni2+", "absent"),
        ("presence of Ni2+", "present"),
        ("Ni2+ present and confirmed", "confirmed"),
        ("Ni2+ cannot be present", "absent"),
        ("Ni2+ ruled out", "absent"),
        ("Ni2+ -", "absent"),
        ("Ni2+ —", "absent"),
        ("Ni2+ - green", "maybe"),
        ("Ni2+ conf.", "confirmed"),
        ("possibly Ni2+", "maybe"),
    ],
)
def test_how_firmly_it_is_said(text, firmness):
    assert claims(text) == [(NICKEL, firmness)]


@pytest.mark.parametrize(
    ("text", "group"),
    [
        ("group II absent", "II"),
        ("grp IIIA absent", "IIIA"),
        ("third group absent", "III"),
        ("Group 2 absent", "II"),
        ("gp. IV absent", "IV"),
        ("2nd group cations are absent", "II"),
        ("Group III A absent", "IIIA"),
        ("group 3a absent", "IIIA"),
        ("zero group absent", "0"),
        ("Group-II radicals absent", "II"),
    ],
)
def test_groups_by_numeral_and_word(text, group):
    assert claims(text) == [(group, "absent")]


def test_several_groups_share_a_word():
    assert claims("groups I, II and IIIA absent") == [("I", "absent"), ("II", "absent"), ("IIIA", "absent")]


def test_names_with_or_and_commas_are_named_alike():
    assert claims("chloride or nitrate of Cu, Ni, Co, Mg, Ca or Zn") == [
        ((ion,), "maybe") for ion in ("Cl-", "NO3-", "Cu2+", "Ni2+", "Co2+", "Mg2+", "Ca2+", "Zn2+")
    ]


def test_what_is_absent_and_what_is_present_in_one_line():
    assert claims("Cu absent, Ni present") == [(("Cu2+",), "absent"), (("Ni2+",), "present")]
    assert claims("Group II absent (Cu2+, Pb2+)") == [
        ("II", "absent"),
        (("Cu2+",), "absent"),
        (("Pb2+",), "absent"),
    ]


@pytest.mark.parametrize(
    "name",
    ["NiCl2", "NiCl2.6H2O", "NiCl₂·6H₂O", "nickel chloride", "nickel(II) chloride", "Nickelous chloride"],
)
def test_a_salt_gives_both_its_ions(name):
    assert [ions for ions, _firmness in claims(name)] == [("Ni2+", "Cl-")]


@pytest.mark.parametrize(
    ("formula", "ions"),
    [
        ("Fe2(SO4)3", ("Fe3+", "SO4^2-")),
        ("FeSO4.7H2O", ("Fe2+", "SO4^2-")),
        ("(NH4)2CO3", ("NH4+", "CO3^2-")),
        ("Pb(NO3)2", ("Pb2+", "NO3-")),
    ],
)
def test_the_charge_of_a_salts_ion_comes_from_its_formula(formula, ions):
    assert claims(formula) == [(ions, "maybe")]


def test_a_shared_name_means_either_ion():
    assert claims("iron") == [(("Fe2+", "Fe3+"), "maybe")]


def test_present_and_absent_at_once_is_told_to_the_examiner():
    reading = read_inference(words(), base().ions, "Ni2+ present, Ni2+ absent")

    assert reading.doubts == ("says that Ni2+ is present and that it is absent",)


def test_a_gas_is_not_taken_for_an_ion():
    assert claims("NO2 gas evolved, nitrate may be present") == [((), "maybe"), (("NO3-",), "maybe")]


def test_an_ion_or_group_crossed_out_is_absent():
    assert claims("NH4+ ✗") == [(("NH4+",), "absent")]
    assert claims("Zn2+ and Pb2+ not") == [(("Zn2+",), "absent"), (("Pb2+",), "absent")]


def test_what_is_no_ion_and_no_known_word_is_unread():
    reading = read_inference(words(), base().ions, "Zorkium may be present")

    assert reading.unread_words == ("Zorkium",)
    assert not reading.claims


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(
        st.text(max_size=60),
        st.lists(
            st.sampled_from(
                [
                    "Ni2+",
                    "not",
                    "absent",
                    "group",
                    "II",
                    "may be",
                    "present",
                    "or",
                    ",",
                    "nickel",
                    "chloride",
                    "(",
                    "iron",
                    "but",
                    ".",
                ]
            ),
            max_size=10,
        ).map(" ".join),
    )
)
def test_any_inference_is_read_without_an_error_and_no_word_is_lost(text):
    reading = read_inference(words(), base().ions, text)

    covered = {
        at
        for spans in (reading.read, reading.filler, reading.unread)
        for start, end in spans
        for at in range(start, end)
    }
    assert [c for at, c in enumerate(text) if c.isalnum() and at not in covered] == []


def test_every_name_in_the_ion_files_is_read_as_its_ion():
    for ion in base().ions.values():
        for name in (ion.formula, ion.name, *ion.names):
            assert ion.formula in [i for ions, _f in claims(f"{name} present") for i in ions], name


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("no silver group", [("I", "absent")]),
        ("copper group is out", [("II", "absent")]),
        ("Pb2+ & Cu2+ out", [(("Pb2+",), "absent"), (("Cu2+",), "absent")]),
        ("K+ (NH4+ already ruled out)", [(("K+",), "maybe"), (("NH4+",), "absent")]),
        ("Zn2+, not sure", [(("Zn2+",), "maybe")]),
    ],
)
def test_groups_go_by_names_and_what_stands_in_brackets_is_said_of_what_stands_there(text, said):
    assert claims(text) == said


def test_a_hedge_beside_an_ion_needs_no_person_and_alone_does():
    ions = base().ions

    assert read_inference(words(), ions, "Zn2+, I think").sure
    assert not read_inference(words(), ions, "I think").sure


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Zero group (NH4+) absent", [("0", "absent"), (("NH4+",), "absent")]),
        ("Group II (Cu2+, Pb2+) absent", [("II", "absent"), (("Cu2+",), "absent"), (("Pb2+",), "absent")]),
        ("group of iron, aluminium, chromium", [(("Fe2+", "Fe3+", "Al3+", "Cr3+"), "maybe")]),
        ("Fe/Al/Cr group", [(("Fe2+", "Fe3+", "Al3+", "Cr3+"), "maybe")]),
        ("IIIB absent", [("IIIB", "absent")]),
        ("not III", [("III", "absent")]),
        ("abs.", [("*", "absent")]),
        ("Group I may be excluded; Group II follows.", [("I", "absent")]),
        ("Cu2+, Pb2+, etc. absent", [(("Cu2+",), "absent"), (("Pb2+",), "absent")]),
        ("sulphate test negative", [(("SO4^2-",), "absent")]),
        ("Ni2+ rather than Co2+", [(("Ni2+",), "maybe"), (("Co2+",), "absent")]),
        ("iron in the ferric state", [(("Fe3+",), "maybe")]),
        ("Fe(OH)3", [(("Fe3+",), "maybe")]),
        ("no ba, sr or cu", [(("Ba2+",), "absent"), (("Sr2+",), "absent"), (("Cu2+",), "absent")]),
        ("CA, BA OR SR", [(("Ca2+",), "maybe"), (("Ba2+",), "maybe"), (("Sr2+",), "maybe")]),
        ("green vitriol", [(("Fe2+", "SO4^2-"), "maybe")]),
        ("potash is present as an impurity", [(("K+",), "present")]),
        ("basic gas is given", [((), "maybe")]),
        ("nitrous gases", [((), "maybe")]),
    ],
)
def test_groups_by_their_ions_trade_names_and_what_is_only_hinted_at(text, said):
    assert claims(text) == said
    assert read_inference(words(), base().ions, text).sure


@pytest.mark.parametrize("text", ["Ba2+ present or absent", "Cl- may or may not be present", "Ba2+ present/absent"])
def test_what_may_be_there_or_not_says_nothing(text):
    reading = read_inference(words(), base().ions, text)

    assert (reading.claims, bool(reading.undecided)) == ((), True)


@pytest.mark.parametrize(
    ("text", "within"),
    [
        ("No NH3 evolved, hence NH4+ absent", "NH4+ absent"),
        ("No gas evolved, CO32-, S2- absent", "CO32-, S2- absent"),
        ("blue ppt, dissolves in excess → deep blue", ""),
        ("white ppt so it was filtered", ""),
        ("Pb(NO3)2 gives a white ppt", ""),
    ],
)
def test_an_inference_that_stands_with_the_observation_is_found(text, within):
    assert drawn_in(words(), base().ions, text).strip() == within
