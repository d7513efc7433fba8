"""Traps of the dry tests: flames, wires and beads, residues hot and cold, sublimates, gases, hydrates."""

import pytest

from examkit.chemistry.backwards import points_to, rules_out
from examkit.chemistry.formula import parse
from examkit.chemistry.knowledge.model import Outcome
from tests.chemistry.traps.bench import (
    KB,
    accepted,
    alone,
    colours,
    gases,
    line,
    record,
    salts_of,
    shown,
    told,
)

FLAMES = {"Na+": "golden yellow", "K+": "lilac", "Li+": "carmine red", "Ca2+": "brick red", "Sr2+": "crimson",
          "Ba2+": "apple green", "Cu2+": "bluish green"}
WHITE_SALTS = [s.formula for s in KB.salts.values() if s.colour[0] == "white"]


def at(specimen, test, facet, step):
    """The first colour word at one step, or None where nothing is seen."""
    words = [o.colours[0] for o in shown(specimen, test, facet) if o.step == step and o.colours]
    return words[0] if words else None


# ---- flame ----

@pytest.mark.parametrize("other", ["KCl", "LiCl", "CaCl2.2H2O", "SrCl2.6H2O", "BaCl2.2H2O", "CuCl2.2H2O", "Pb(NO3)2"])
def test_sodium_drowns_every_other_flame(other):
    assert at(f"NaCl + {other}", "flame", "flame", "naked eye") == "golden yellow"
    assert at(other, "flame", "flame", "naked eye") in accepted(f"NaCl + {other}", "flame")


def test_beside_sodium_potassium_is_seen_through_blue_glass_only():
    assert at("NaCl + KCl", "flame", "flame", "naked eye") == "golden yellow"
    assert at("NaCl + KCl", "flame", "flame", "blue glass") == "crimson"
    assert at("NaCl", "flame", "flame", "blue glass") is None
    assert "K+" in line("NaCl + KCl", "flame").points_to


@pytest.mark.parametrize("ion", FLAMES)
def test_each_ion_that_colours_the_flame_does_so_in_every_salt(ion):
    for salt in salts_of(ion):
        if "Na+" not in KB.salts[salt].cations or ion == "Na+":
            seen = [o.colours[0] for o in shown(salt, "flame", "flame") if o.step == "naked eye"]
            assert FLAMES[ion] in seen, salt


def test_a_flame_without_distinct_colour_rules_out_the_ions_that_colour_it():
    scheme, nothing = KB.schemes["mixture"], (("flame", Outcome("none", step="naked eye")),)

    assert points_to(KB, scheme, KB.tests["flame"], nothing) == ()
    assert set(rules_out(KB, scheme, KB.tests["flame"], nothing)) >= set(FLAMES)


@pytest.mark.parametrize("ion", ["Ni2+", "Co2+", "Zn2+", "Mg2+", "Al3+", "NH4+"])
def test_it_says_nothing_against_ions_that_do_not_colour_it(ion):
    nothing = (("flame", Outcome("none", step="naked eye")),)

    assert ion not in rules_out(KB, KB.schemes["mixture"], KB.tests["flame"], nothing)


def test_the_flame_is_tried_on_the_chloride():
    flame = KB.tests["flame"]

    assert "conc. hydrochloric acid" in flame.procedure
    assert "hydrochloric-acid-concentrated" in {use.what for way in flame.operations.values() for use in way}


@pytest.mark.parametrize("salt", [*salts_of("Pb2+"), *salts_of("Bi3+")])
def test_a_lead_or_bismuth_salt_ruins_a_platinum_wire_and_the_record_says_so(salt):
    for test in ("flame", "borax-bead"):
        here = record(salt)[test]
        if here.done:
            assert any("platinum" in caution and "Lead, bismuth" in caution for caution in here.cautions)


# ---- beads, cavity, cobalt nitrate ----

@pytest.mark.parametrize("other", ["NiCl2.6H2O", "MnCl2.4H2O", "FeCl3.6H2O", "CuSO4.5H2O", "CrCl3.6H2O"])
def test_cobalt_outshines_every_other_metal_in_the_borax_bead(other):
    assert set(colours(f"CoCl2.6H2O + {other}", "borax-bead", "bead")) == {"blue"}
    assert "Co2+" in line(f"CoCl2.6H2O + {other}", "borax-bead").points_to


@pytest.mark.parametrize("salt", ["ZnSO4.7H2O", "MgSO4.7H2O", "NaCl", "CaCO3", "Al2(SO4)3.18H2O", "Pb(NO3)2", "BaCl2.2H2O"])
def test_the_bead_is_not_made_of_a_white_salt(salt):
    assert record(salt)["borax-bead"].why_not == "only for a coloured salt or residue"


def test_white_salts_would_leave_the_bead_colourless():
    """But those of which the residue in the cavity is coloured, for which it is made."""
    for salt in WHITE_SALTS:
        if record(salt)["borax-bead"].done:
            assert shown(salt, "charcoal-cavity", "residue") or shown(salt, "borax-bead", "bead"), salt


@pytest.mark.parametrize(
    ("salt", "colour"), [("Al2(SO4)3.18H2O", "blue"), ("ZnSO4.7H2O", "green"), ("MgSO4.7H2O", "pink")]
)
def test_cobalt_nitrate_is_tried_on_a_white_residue_and_tells_three_metals(salt, colour):
    assert colour in shown(salt, "cobalt-nitrate", "residue")[0].colours


@pytest.mark.parametrize("salt", ["CuSO4.5H2O", "NiCl2.6H2O", "FeCl3.6H2O"])
def test_on_a_coloured_residue_it_tells_nothing_and_is_not_done(salt):
    assert record(salt)["cobalt-nitrate"].why_not == "only for a white residue in the cavity"


# ---- residues, hydrates, gases ----

@pytest.mark.parametrize(
    ("salts", "hot", "cold"),
    [(("ZnCO3", "ZnSO4.7H2O"), "yellow", "white"), (("PbCO3", "Pb(NO3)2"), "brown", "yellow")],
)
def test_zinc_oxide_is_yellow_hot_and_white_cold_and_lead_oxide_brown_hot_and_yellow_cold(salts, hot, cold):
    for salt in salts:
        words = {o.step: o.colours for o in shown(salt, "dry-heating", "residue")}
        assert any(hot in word for word in words["hot"]), salt
        assert cold in words["cold"], salt


@pytest.mark.parametrize(
    ("hydrate", "before", "after"),
    [("CuSO4.5H2O", "blue", "white"), ("CoCl2.6H2O", "pink", "blue"), ("NiCl2.6H2O", "green", "yellow")],
)
def test_a_hydrate_changes_colour_as_it_gives_up_its_water(hydrate, before, after):
    assert any(before in word for word in KB.salts[hydrate].colour)
    assert shown(hydrate, "dry-heating", "water")[0].gas == "H2O"
    assert at(hydrate, "dry-heating", "residue", "cold") == after


def test_water_is_seen_of_every_hydrate_and_of_no_salt_without_hydrogen():
    for name, salt in KB.salts.items():
        wet = any(o.seen for o in salt.facts["dry-heating", "water"].seen)
        assert wet or not salt.water, name
        assert not wet or "H" in dict(parse(name).elements), name


@pytest.mark.parametrize("salt", ["Pb(NO3)2", "Cu(NO3)2.3H2O", "Zn(NO3)2.6H2O", "Ca(NO3)2.4H2O", "AgNO3", "Bi(NO3)3.5H2O"])
def test_a_nitrate_of_a_heavy_metal_gives_brown_nitrogen_dioxide(salt):
    assert "NO2" in gases(salt, "dry-heating")


@pytest.mark.parametrize("salt", ["NaNO3", "KNO3"])
def test_sodium_and_potassium_nitrate_give_oxygen_only(salt):
    assert gases(salt, "dry-heating") == {"O2"}


def test_beside_sodium_chloride_a_lead_nitrate_is_still_brown():
    assert "NO2" in gases("NaCl + Pb(NO3)2", "dry-heating")
    assert gases("NaNO3 + Pb(NO3)2", "dry-heating") == {"O2", "NO2"}


@pytest.mark.parametrize("salt", ["NaNO2", "KNO2"])
def test_an_alkali_nitrite_melts_and_its_brown_fume_is_accepted_not_asked_for(salt):
    assert shown(salt, "dry-heating", "melts")
    assert gases(salt, "dry-heating") == set()
    assert "NO2" in accepted(salt, "dry-heating")
    assert "NO2-" not in line(salt, "dry-heating").rules_out


@pytest.mark.parametrize("salt", ["Pb(NO3)2", "NaCl", "KBr"])
def test_crystals_with_enclosed_water_crackle(salt):
    assert shown(salt, "dry-heating", "sound")[0].event == "crackling"


def test_sodium_and_potassium_carbonate_keep_their_gas_in_a_burner_and_zinc_carbonate_does_not():
    assert gases("Na2CO3", "dry-heating") == gases("K2CO3", "dry-heating") == set()
    assert gases("ZnCO3", "dry-heating") == gases("Na2CO3 + ZnCO3", "dry-heating") == {"CO2"}


# ---- sublimates ----

@pytest.mark.parametrize(
    ("specimen", "colour"),
    [("NH4Cl", "white"), ("NH4Br", "white"), ("HgCl2", "white"), ("Hg2Cl2", "white"), ("NH4NO3 + NaCl", "white")],
)
def test_ammonium_halides_and_mercury_chlorides_sublime_white(specimen, colour):
    assert colours(specimen, "dry-heating", "sublimate")[0] == colour


def test_iodine_leaves_a_violet_vapour_or_a_dark_shining_sublimate():
    assert "I2" in gases("AsI3", "dry-heating")
    assert "shining sublimate" in accepted("KI", "dry-heating")


def test_arsenic_gives_a_white_sublimate_of_its_oxide():
    seen = KB.ions["As3+"].facts["dry-heating", "sublimate"].seen

    assert (seen[0].event, seen[0].colours[0], seen[0].product) == ("sublimate", "white", "As2O3")


@pytest.mark.parametrize("salt", ["NaCl", "ZnSO4.7H2O", "BaCl2.2H2O", "CuSO4.5H2O"])
def test_other_salts_leave_no_sublimate(salt):
    assert shown(salt, "dry-heating", "sublimate") == ()
    assert "sublim" not in told(salt, "dry-heating")


# ---- the other beads ----

BEADS = {"microcosmic-salt-bead", "sodium-carbonate-bead"}


@pytest.mark.parametrize(
    ("ion", "hot", "cold"), [("Mn2+", "green", "bluish green"), ("Cr3+", "yellow", "yellow"), ("MnO4-", "green", "bluish green")]
)
def test_with_sodium_carbonate_manganese_is_green_and_chromium_yellow(ion, hot, cold):
    seen = {o.step: o.colours[0] for o in alone((ion,), "sodium-carbonate-bead", "bead")}

    assert seen == {"oxidising hot": hot, "oxidising cold": cold}


def test_only_manganese_and_chromium_colour_the_sodium_carbonate_bead_hot_and_cold():
    """Copper's green goes on cooling; lead's yellow comes with it (blowpipe book of 1858)."""
    coloured = {i: alone((i,), "sodium-carbonate-bead", "bead") for i in KB.schemes["mixture"].cations}

    assert {i for i, seen in coloured.items() if seen} == {"Mn2+", "Cr3+", "Cu2+", "Pb2+"}
    assert {i for i, seen in coloured.items() if len(seen) == 2} == {"Mn2+", "Cr3+"}


def test_the_metals_that_colour_borax_colour_microcosmic_salt_too():
    coloured = {
        bead: {i for i in KB.schemes["mixture"].cations if alone((i,), bead, "bead")}
        for bead in ("borax-bead", "microcosmic-salt-bead")
    }

    assert coloured["microcosmic-salt-bead"] == {"Mn2+", "Cr3+", "Fe2+", "Fe3+", "Co2+", "Ni2+", "Cu2+", "Bi3+", "Sb3+"}
    assert coloured["microcosmic-salt-bead"] <= coloured["borax-bead"]


@pytest.mark.parametrize("bead", sorted(BEADS))
def test_they_are_for_coloured_salts_as_borax_is_and_warn_of_platinum(bead):
    assert KB.tests[bead].applies == KB.tests["borax-bead"].applies
    assert any("platinum" in caution for caution in KB.tests[bead].cautions)
