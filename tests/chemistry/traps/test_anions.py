"""Traps of the anions: halides beside each other, the brown ring, lime water, chromyl chloride, sulfur gases."""

import pytest

from examkit.chemistry.equilibria.solve import mixture, solve
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.observe import observe
from examkit.chemistry.specimen import read_specimen
from tests.chemistry.traps.bench import KB, accepted, colours, gases, line, record, shown, told

HALIDES = {"NaCl": "white", "KBr": "pale yellow", "KI": "yellow"}


def confirmed(specimen):
    """The facets of the confirmatory test in which something is seen."""
    return {facet for facet, outcome in line(specimen, "confirm-anion").seen if outcome.seen}


# ---- halides ----

@pytest.mark.parametrize(("salt", "colour"), HALIDES.items())
def test_silver_chloride_is_white_bromide_pale_yellow_iodide_yellow(salt, colour):
    assert colours(salt, "anion-silver-nitrate")[0] == colour


def test_ammonia_dissolves_silver_chloride_the_bromide_in_part_and_not_the_iodide():
    with_ammonia = {s: [o for o in shown(s, "anion-silver-nitrate") if o.step == "ammonia"] for s in HALIDES}

    assert with_ammonia["NaCl"][0].texture is None
    assert "in part" in with_ammonia["KBr"][0].texture
    assert with_ammonia["KI"] == []


def test_the_constants_say_the_same_of_the_silver_halides_in_ammonia():
    def dissolved(halide):
        totals = {"Ag+": 0.02, "NO3-": 0.02, halide: 0.02, "Na+": 0.02, "NH3": 2.0}
        found = solve(KB.constants, mixture(totals))
        return found.dissolved["Ag+"] / found.totals["Ag+"]

    assert dissolved("Cl-") > 0.99
    assert 0.05 < dissolved("Br-") < 0.6
    assert dissolved("I-") < 0.02


@pytest.mark.parametrize(("beside", "colour"), [("KBr", "pale yellow"), ("KI", "yellow")])
def test_bromide_and_iodide_cover_the_white_of_silver_chloride(beside, colour):
    assert colours(f"NaCl + {beside}", "anion-silver-nitrate")[0] == colour


@pytest.mark.parametrize("beside", ["KBr", "KI"])
def test_bromine_and_iodine_cover_chromyl_chloride_and_only_the_lead_chromate_counts(beside):
    seen = shown(f"NaCl + {beside}", "confirm-anion", "chromyl-chloride")

    assert "only the yellow precipitate" in told(f"NaCl + {beside}", "confirm-anion")
    assert any(o.step == "lead acetate" and o.product == "PbCrO4" for o in seen)


@pytest.mark.parametrize("salt", ["KBr", "KI"])
def test_bromide_and_iodide_give_no_yellow_in_the_chromyl_test(salt):
    layer = KB.ions[KB.salts[salt].anions[0]].facts["confirm-anion", "chromyl-chloride"].seen

    assert [o.seen for o in layer if o.step != "reagent"] == [False, False]


def test_iodide_is_oxidised_before_bromide_in_the_layer():
    steps = [(o.step, o.colours[0]) for o in shown("KBr + KI", "confirm-anion", "chlorine-water")]

    assert steps == [("reagent", "violet"), ("excess", "orange")]


@pytest.mark.parametrize(("salt", "layer"), [("KBr", "orange"), ("KI", "violet")])
def test_alone_each_gives_its_own_layer(salt, layer):
    assert shown(salt, "confirm-anion", "chlorine-water")[0].colours[0] == layer


@pytest.mark.parametrize("partner", ["CuSO4.5H2O", "FeCl3.6H2O", "CuCl2.2H2O", "Fe2(SO4)3.9H2O"])
def test_copper_ii_and_iron_iii_free_iodine_from_iodide_in_water(partner):
    assert any(o.product == "I2" for o in shown(f"{partner} + KI", "group-1"))
    assert shown(f"{partner} + KBr", "group-1") == ()


@pytest.mark.parametrize("salt", ["CuI2", "FeI3", "copper(II) iodide"])
def test_the_iodides_of_copper_ii_and_iron_iii_are_refused(salt):
    with pytest.raises(UnknownSubject, match="iodine form"):
        read_specimen(KB, salt)


# ---- chromyl chloride ----

@pytest.mark.parametrize(
    "salt", ["AgCl", "HgCl2", "Hg2Cl2", "PbCl2", "SnCl2.2H2O", "SnCl4.5H2O", "SbCl3", "SbOCl"]
)
def test_chlorides_of_silver_mercury_lead_tin_and_antimony_fail_the_chromyl_test(salt):
    assert shown(salt, "confirm-anion", "chromyl-chloride") == ()
    assert "fails with" in told(salt, "confirm-anion")


@pytest.mark.parametrize("salt", ["NaCl", "ZnCl2", "BaCl2.2H2O", "CuCl2.2H2O", "BiCl3", "CdCl2"])
def test_other_chlorides_answer_it(salt):
    assert shown(salt, "confirm-anion", "chromyl-chloride")[0].gas == "CrO2Cl2"


def test_a_chloride_that_answers_does_so_beside_one_that_fails():
    assert "CrO2Cl2" in {o.gas for o in shown("NaCl + PbCl2", "confirm-anion", "chromyl-chloride")}
    assert "CrO2Cl2" in {o.gas for o in shown("NaCl + HgSO4", "confirm-anion", "chromyl-chloride")}


# ---- what sodium carbonate opens ----

def in_extract(salt):
    """The share of a salt's anion that 0.3 g with 1 g of sodium carbonate in 6 mL of water has dissolved."""
    amount = salt.molar_mass_g_mol and 0.3 / salt.molar_mass_g_mol / 0.006
    totals = {ion: count * amount for ion, count in salt.ions.items()}
    carbonate = 1.0 / 105.99 / 0.006
    totals["Na+"] = totals.get("Na+", 0) + 2 * carbonate
    found = solve(KB.constants, mixture({**totals, "CO3^2-": totals.get("CO3^2-", 0) + carbonate}))
    anion = "HS-" if salt.anions == ("S^2-",) else salt.anions[0]
    return found.dissolved[anion] / found.totals[anion]


@pytest.mark.parametrize("name", ["AgCl", "AgBr", "AgI", "AgSCN", "Ag2S", "CuS", "PbS", "CdS", "ZnS", "FeS", "HgS", "Bi2S3"])
def test_sodium_carbonate_does_not_open_silver_halides_and_heavy_sulfides(name):
    assert KB.salts[name].extract == "none"
    assert in_extract(KB.salts[name]) < 0.005
    assert shown(name, "anion-silver-nitrate") == ()
    assert observe(KB, "anion-silver-nitrate", name, "mixture").text == "no precipitate"


@pytest.mark.parametrize("name", ["PbSO4", "PbI2", "BaCrO4", "SrSO4", "Ag3PO4", "PbCl2", "BaC2O4", "Hg2Cl2"])
def test_it_opens_other_insoluble_salts(name):
    assert KB.salts[name].extract == "whole"
    assert in_extract(KB.salts[name]) > 0.5


@pytest.mark.parametrize("name", ["CuS", "PbS", "ZnS", "FeS", "HgS"])
def test_an_insoluble_sulfide_gives_no_nitroprusside_violet_but_its_gas_with_zinc_and_acid(name):
    assert confirmed(name) == {"zinc-and-acid"}
    assert gases(name, "confirm-anion", "zinc-and-acid") == {"H2S"}


@pytest.mark.parametrize("name", ["Na2S.9H2O", "BaS"])
def test_a_soluble_sulfide_gives_violet_black_and_yellow(name):
    assert {"sodium-nitroprusside", "lead-acetate", "cadmium-acetate"} <= confirmed(name)


@pytest.mark.parametrize("name", ["CuS", "PbS", "Ag2S", "HgS"])
def test_a_sulfide_that_dilute_acid_does_not_attack_gives_no_gas_there(name):
    assert gases(name, "anion-dilute-acid") == set()


# ---- nitrate and nitrite ----

@pytest.mark.parametrize(
    ("beside", "words"), [("NaNO2", "proves nothing for nitrate"), ("KBr", "bromine, not the ring"), ("KI", "iodine, not the ring")]
)
def test_nitrite_bromide_and_iodide_spoil_the_brown_ring(beside, words):
    assert words in told(f"KNO3 + {beside}", "confirm-anion")
    assert "ring where the liquids meet" not in {o.texture for o in shown(f"KNO3 + {beside}", "confirm-anion", "brown-ring")}


def test_alone_nitrate_gives_the_ring():
    assert shown("KNO3", "confirm-anion", "brown-ring")[0].texture == "ring where the liquids meet"


def test_nitrite_answers_iron_sulfate_with_dilute_acid_and_nitrate_does_not():
    assert "dilute-sulfuric-acid-iron-sulfate" in confirmed("NaNO2")
    assert "dilute-sulfuric-acid-iron-sulfate" not in confirmed("KNO3")


def test_copper_turnings_deepen_the_brown_of_a_nitrate():
    seen = shown("KNO3", "anion-concentrated-acid", "copper")

    assert (seen[0].gas, seen[0].texture) == ("NO2", "dense")


# ---- carbonate, sulfite, thiosulfate, sulfide ----

@pytest.mark.parametrize("beside", ["Na2SO3", "Na2S2O3.5H2O", "Na2S.9H2O"])
def test_sulfite_and_its_kin_spoil_lime_water_for_carbonate(beside):
    assert "proves nothing" in told(f"Na2CO3 + {beside}", "confirm-anion")


def test_sulfur_dioxide_alone_turns_lime_water_milky_too():
    assert KB.ions["SO3^2-"].facts["confirm-anion", "lime-water"].seen[0].product == "CaSO3"


def test_alone_carbonate_turns_it_milky_and_more_gas_clears_it():
    assert [o.event for o in shown("Na2CO3", "confirm-anion", "lime-water")] == ["precipitate", "dissolves"]


def test_thiosulfate_gives_sulfur_dioxide_with_sulfur_and_sulfite_leaves_the_liquid_clear():
    for salt in ("Na2S2O3.5H2O", "Na2SO3"):
        assert gases(salt, "anion-dilute-acid") == {"SO2"}
    assert "from sulfur" in told("Na2S2O3.5H2O", "anion-dilute-acid")
    assert "milky" not in told("Na2SO3", "anion-dilute-acid")


def test_a_carbonate_beside_a_sulfite_still_fizzes():
    assert gases("Na2CO3 + Na2SO3", "anion-dilute-acid") == {"CO2", "SO2"}


@pytest.mark.parametrize("salt", ["PbCO3", "BaCO3", "SrCO3", "CaCO3"])
def test_sulfuric_acid_coats_the_carbonates_of_lead_and_the_alkaline_earths(salt):
    assert "soon slower" in shown(salt, "anion-dilute-acid", "gas")[0].texture


def test_chlorates_and_permanganates_never_meet_conc_sulfuric_acid():
    for test in ("anion-concentrated-acid", "confirm-anion"):
        cautions = " ".join(KB.tests[test].cautions)
        assert "chlorate" in cautions and "permanganate" in cautions
    for specimen in ("KMnO4", "KMnO4 + NaCl"):
        assert not record(specimen)["anion-concentrated-acid"].done
        assert "explodes" in record(specimen)["anion-concentrated-acid"].why_not


def test_barium_sulfate_stays_in_acid_and_barium_sulfite_does_not():
    stays = [o.event for o in shown("Na2SO4", "anion-barium-chloride")]
    goes = [o.event for o in shown("Na2SO3", "anion-barium-chloride")]

    assert (stays, goes) == (["precipitate"], ["precipitate", "dissolves"])
    assert "turbidity of barium sulfate stays" in accepted("Na2SO3", "anion-barium-chloride")
