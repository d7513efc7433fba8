"""Traps of the stock: what ages, what takes up moisture, what is hardly soluble, and what that changes."""

import dataclasses

import pytest

from examkit.chemistry.ageing import aged
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen
from tests.chemistry.traps.bench import KB, accepted, line, record

AGEING = {
    "FeSO4.7H2O": ("iron(III)", {"Fe2+": "Fe3+"}),
    "FeCl2.4H2O": ("iron(III)", {"Fe2+": "Fe3+"}),
    "Na2SO3": ("sulfate", {"SO3^2-": "SO4^2-"}),
    "K2SO3": ("sulfate", {"SO3^2-": "SO4^2-"}),
    "Na2S.9H2O": ("loses hydrogen sulfide", {"S^2-": "S2O3^2-"}),
    "SnCl2.2H2O": ("tin(IV)", {"Sn2+": "Sn4+"}),
    "SnSO4": ("tin(IV)", {"Sn2+": "Sn4+"}),
    "(NH4)2CO3": ("loses ammonia", {"CO3^2-": "HCO3-"}),
}


@pytest.mark.parametrize("salt", AGEING)
def test_stock_that_ages_says_so_and_what_it_turns_into(salt):
    words, into = AGEING[salt]

    assert words in KB.salts[salt].keeping
    assert KB.salts[salt].ages == into


@pytest.mark.parametrize(
    ("salt", "test", "words"),
    [
        ("FeSO4.7H2O", "group-2", "turbidity"),  # sulfur, from iron(III)
        ("Na2SO3", "anion-barium-chloride", "insoluble in dilute HCl"),  # barium sulfate
        ("SnCl2.2H2O", "group-2", "yellow"),  # tin(IV) sulfide beside the brown
        ("Na2S.9H2O", "anion-barium-chloride", "milky from sulfur"),  # thiosulfate
    ],
)
def test_what_old_stock_shows_is_accepted(salt, test, words):
    old = [item["text"] for item in line(salt, test).also_accepted if item["text"].startswith("with old stock")]

    assert any(words in text for text in old), old


@pytest.mark.parametrize("salt", AGEING)
def test_what_is_expected_is_that_of_fresh_stock(salt):
    """Alternatives drive acceptance, never inference."""
    fresh = dataclasses.replace(KB.salts[salt], ages={})
    kept = dataclasses.replace(KB, salts={**KB.salts, salt: fresh})
    lines = {each.test: each for each in expect(kept, read_specimen(kept, salt), "mixture").lines}

    for test, here in record(salt).items():
        if here.done:
            assert here.observation.text == lines[test].observation.text
            assert here.observation.points_to == lines[test].observation.points_to


def test_a_salt_that_keeps_has_no_old_stock():
    assert aged(read_specimen(KB, "NaCl + KNO3")) is None
    assert not any("old stock" in accepted("NaCl", test) for test, here in record("NaCl").items() if here.done)


def test_in_a_mixture_only_what_ages_has_gone_over():
    stale = aged(read_specimen(KB, "FeSO4.7H2O + NaCl"))

    assert set(stale.cations) == {"Fe2+", "Fe3+", "Na+"}
    assert KB.salts["FeSO4.7H2O"].cations == ("Fe2+",)  # the base itself is as it was


@pytest.mark.parametrize("salt", ["MgCl2.6H2O", "ZnCl2", "CaCl2.6H2O", "FeCl3.6H2O", "NaNO2"])
def test_deliquescent_stock_is_kept_closed(salt):
    assert KB.salts[salt].moisture == "deliquescent"
    assert "closed" in KB.salts[salt].keeping


@pytest.mark.parametrize("salt", [s.formula for s in KB.salts.values() if s.moisture in ("deliquescent", "hygroscopic")])
def test_whatever_takes_up_moisture_says_how_it_is_kept(salt):
    assert KB.salts[salt].keeping


@pytest.mark.parametrize("salt", ["CaSO4.2H2O", "PbCl2", "PbI2", "Ag2SO4"])
def test_sparingly_soluble_salts_are_not_given_out_as_soluble_ones(salt):
    assert KB.salts[salt].dissolves_in != "cold water"


def test_an_ion_that_ages_must_be_known():
    assert {ion for salt in load().salts.values() for pair in salt.ages.items() for ion in pair} <= set(KB.ions)
