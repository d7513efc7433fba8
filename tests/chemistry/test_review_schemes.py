"""What an examiner who read whole records of the school and the mixture scheme held against them.

Each is common practice, no source, unless one is named.
"""

import pytest

from examkit.chemistry.equilibria.original import original_solution
from examkit.chemistry.equilibria.table import margins_of_specimen
from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import brought_into_solution, falling, read_specimen


@pytest.fixture
def line(kb):
    """`line("NaCl + BaSO4", "group-1")` -> that line of the record in the scheme for mixtures."""

    def find(specimen, test, scheme="mixture"):
        record = expect(kb, read_specimen(kb, specimen), scheme).as_json()
        return next(found for found in record["lines"] if found["test"] == test)

    return find


@pytest.mark.parametrize("specimen", ["NaCl + BaSO4", "NaCl + CaF2", "CaCO3 + AgCl", "BaCl2.2H2O + Na2SO4"])
def test_what_stays_undissolved_is_in_no_tube_of_the_groups(kb, specimen):
    margins = margins_of_specimen(kb, kb.schemes["mixture"], read_specimen(kb, specimen))

    for group in ("group-1", "group-2", "group-3a", "group-3b"):
        here = margins.get((group, "tube", "reagent"), {})
        assert {ion for ion, margin in here.items() if margin.state == "clear"} == set(), group


def test_what_falls_as_the_salts_meet_takes_both_ions_by_their_amounts(kb):
    there = brought_into_solution(kb, read_specimen(kb, "BaCl2.2H2O + Na2SO4"))

    assert "Ba2+" not in there
    assert there["SO4^2-"] == pytest.approx(500 / 142.04 - 500 / 244.26, rel=1e-3)  # mmol, molar masses by hand
    assert there["Cl-"] == pytest.approx(2 * 500 / 244.26, rel=1e-3)


@pytest.mark.parametrize(("salt", "there"), [("CaCO3", False), ("ZnCO3", False), ("Na2CO3", True)])
def test_carbonate_is_in_a_water_extract_only(kb, salt, there):
    """A sodium carbonate extract is acidified and boiled before barium chloride: its carbonate has gone."""
    margins = margins_of_specimen(kb, kb.schemes["school-groups"], read_specimen(kb, salt))
    found = margins.get(("anion-barium-chloride", "tube", "reagent"), {}).get("CO3^2-")

    assert (found is not None and found.state == "clear") is there


def test_what_reacts_without_being_seen_has_its_equation(line):
    """Zinc hydroxide is not seen in an excess of alkali: the zincate says why."""
    found = line("MnCl2.4H2O + ZnCl2", "hydroxide-on-manganese-and-zinc")
    assert "Zn2+ + 4 OH- -> [Zn(OH)4]2-" in found["equations"]

    found = line("CuSO4.5H2O + ZnSO4.7H2O", "ammonia-on-nitrates")
    assert list(found["equations"]) == ["Cu2+ + 4 NH3 -> [Cu(NH3)4]2+"]


@pytest.mark.parametrize(
    ("specimen", "text"),
    [
        ("CuSO4.5H2O + ZnSO4.7H2O", "dissolves in cold water to a blue solution"),
        ("KNO3 + NaCl", "dissolves in cold water to a colourless solution"),
    ],
)
def test_two_salts_in_one_tube_make_one_solution(line, specimen, text):
    assert line(specimen, "solubility")["text"] == text


def test_a_part_that_needs_acid_is_told_beside_the_coloured_part(line):
    text = line("CuSO4.5H2O + CaCO3", "solubility")["text"]

    assert "cold water to a blue solution" in text
    assert "dilute HCl to a colourless solution" in text


def test_silver_iodide_alone_does_not_point_to_chloride_and_bromide(line):
    found = line("NaCl + NaBr + KI", "anion-silver-nitrate")

    assert found["text"].startswith("yellow")
    assert list(found["points_to"]) == ["I-"]
    assert list(found["equations"]) == ["Ag+ + I- -> AgI"]


@pytest.mark.parametrize("specimen", ["Na2HPO4.12H2O + NaCl", "Na2B4O7.10H2O + NaCl"])
def test_halide_takes_the_silver_before_any_other_anion_in_neutral_solution(line, specimen):
    """Solubility products: AgCl 1.8e-10 beside Ag3PO4 9e-17; at equal strength AgCl is first."""
    text = line(specimen, "confirm-anion")["text"]

    said = next(part for part in text.split("; or ") if part.startswith("silver nitrate, neutral"))
    assert "white" in said and "halide" in said
    assert "dissolves in nitric acid" not in said


@pytest.mark.parametrize("oxidant", ["NaNO2", "K2Cr2O7"])
def test_an_oxidant_frees_iodine_as_soon_as_the_acid_comes(line, oxidant):
    found = line(f"KI + {oxidant}", "group-1")

    assert "brown" in found["text"] and "iodine" in found["text"]
    assert any("I2" in equation for equation in found["equations"])


def test_the_gases_of_sulfide_and_sulfite_make_sulfur(line):
    found = line("Na2S.9H2O + Na2SO3", "anion-dilute-acid")

    assert "milky" in found["text"]
    assert "SO2 + 2 H2S -> 3 S + 2 H2O" in found["equations"]


def test_silver_without_chloride_shows_no_chloride_in_its_equations(line):
    assert not any("Cl" in e for e in line("AgNO3 + KNO3", "charcoal-cavity")["equations"])


def test_lead_iodide_may_show_yellow_in_the_chloride_group(kb):
    """1 mL of boiling water holds 4 mg of it, and cold water 0.7 mg: it comes down as the solution cools."""
    sight = kb.salts["PbI2"].facts["group-1", "tube"]

    assert "yellow" in sight.also[0].seen[0].colours
    assert sight.seen[0].colours[0] == "white"


@pytest.mark.parametrize(
    ("test", "ion", "solid"),
    [
        ("chromate-on-acetates", "Ba2+", "BaCrO4"),
        ("sulfate-on-acetates", "Sr2+", "SrSO4"),
        ("oxalate-on-acetates", "Ca2+", "CaC2O4"),
    ],
)
def test_barium_strontium_and_calcium_are_parted_by_number_too(kb, test, ion, solid):
    """The carbonates' work-up, each clear; solubility products of 1e-10, 3e-7 and 2e-9 are far from the limit."""
    mixture = read_specimen(kb, "BaCl2.2H2O + SrCl2.6H2O + CaCl2.2H2O")
    margin = margins_of_specimen(kb, kb.schemes["mixture"], mixture)[test, "tube", "reagent"][ion]

    assert margin.state == "clear"
    assert margin.solid.startswith(solid)


def test_calcium_may_show_beside_strontium_where_it_is_strong(kb):
    """Gypsum: 2.4 g/L in water, so 0.05 mol/L of calcium beside 0.5 mol/L of sulfate is above its limit."""
    margins = margins_of_specimen(kb, kb.schemes["mixture"], read_specimen(kb, "SrCl2.6H2O + CaCl2.2H2O"))

    assert margins["sulfate-on-acetates", "tube", "reagent"]["Ca2+"].state == "marginal"


@pytest.mark.parametrize("specimen", ["NaCl + BaSO4", "BaCl2.2H2O + Na2SO4", "AgNO3 + NaCl", "NaF + CaCl2.2H2O"])
def test_what_nothing_dissolves_is_told_where_the_salts_are_dissolved(line, specimen):
    """It came with the mixture, or falls as its salts meet in water."""
    text = line(specimen, "solubility")["text"]

    assert text == "dissolves in cold water to a colourless solution; a part is insoluble even in aqua regia"


def test_a_mixture_that_dissolves_leaves_no_part(line):
    assert "part" not in line("CuSO4.5H2O + CaCO3", "solubility")["text"]


def test_lead_and_iodide_meet_before_the_acid_comes(line):
    found = line("Pb(NO3)2 + KI", "group-1")

    assert found["text"].startswith("yellow")
    assert "Pb2+" in found["points_to"]


def test_tin_and_mercury_meet_before_the_sulfide_comes(line):
    """Tin(II) reduces mercury(II) to white mercury(I) chloride, and that to grey mercury."""
    found = line("SnCl2.2H2O + HgCl2", "group-1")

    assert found["text"].startswith("white or grey")
    assert "2 Hg2+ + Sn2+ + 2 Cl- -> Hg2Cl2 + Sn4+" in found["equations"]


def test_iron_and_thiocyanate_are_red_before_any_reagent(line):
    assert line("KSCN + FeCl3.6H2O", "group-1")["text"].startswith("blood red")


def _used(way):
    return {op.what for op in way if op.do in ("add", "pass", "test")}


@pytest.mark.parametrize(
    ("reagents", "words"),
    [
        ({"hydrogen-sulfide"}, ("fume cupboard",)),
        ({"hydrochloric-acid-concentrated", "nitric-acid-concentrated"}, ("aqua regia",)),
        ({"silver-nitrate", "ammonia-dilute"}, ("at once", "explode")),
        ({"cyclohexane"}, ("no flame",)),
        ({"amyl-alcohol"}, ("flame", "fire")),
        ({"dimethylglyoxime"}, ("flame", "local rules")),
        ({"iron-wire"}, ("fume cupboard", "local rules")),
        ({"ammonium-polysulfide"}, ("fume cupboard",)),
        ({"sulfuric-acid-concentrated"}, ("conc. sulfuric acid",)),
    ],
)
def test_what_can_hurt_is_said_where_it_is_used(kb, reagents, words):
    tests = [t for t in kb.tests.values() if any(_used(way) >= reagents for way in t.operations.values())]

    assert tests
    for test in tests:
        told = " ".join(test.cautions).lower()
        assert any(word in told for word in words), test.id


def test_an_excess_of_iodide_and_not_of_mercury_dissolves_the_scarlet_iodide(kb):
    way = kb.tests["confirm-anion"].operations["mercury-chloride"]

    assert [op.what for op in way if op.do in ("take", "add")] == ["extract", "mercury-chloride", "extract"]


def test_the_concentrated_ammonia_that_parts_bromide_from_iodide_is_made_ready(kb):
    assert "ammonia-concentrated" in _used(kb.tests["anion-silver-nitrate"].operations[""])


@pytest.mark.parametrize(
    ("salt", "ion", "least", "most"),
    [
        ("PbI2", "Pb2+", 1.0, 2.5),  # 0.076 g in 100 mL of cold water
        ("PbCl2", "Pb2+", 30, 45),  # 1.0 g in 100 mL
        ("CaSO4.2H2O", "Ca2+", 14, 80),  # 0.26 g in 100 mL of water, several times that in acid
        ("CaC2O4.H2O", "Ca2+", 1, 60),  # the acid boiled down: most falls again
    ],
)
def test_the_original_solution_holds_no_more_than_its_solvent_takes_up(kb, salt, ion, least, most):
    """Handbook solubilities, memory; mmol/L."""
    held = original_solution(kb, kb.schemes["mixture"], read_specimen(kb, salt))

    assert least <= 1000 * held[ion] <= most


@pytest.mark.parametrize(("salt", "solid"), [("PbI2", "PbI2"), ("PbCrO4", "PbCrO4"), ("PbCl2", "PbCl2"),
                                             ("CaC2O4.H2O", "CaC2O4.H2O"), ("CaSO4.2H2O", "CaSO4.2H2O")])
def test_no_group_shows_the_undissolved_salt_itself_as_a_clear_precipitate(kb, salt, solid):
    margins = margins_of_specimen(kb, kb.schemes["mixture"], read_specimen(kb, salt))

    for group in ("group-2", "group-3a"):
        here = margins.get((group, "tube", "reagent"), {})
        assert not [m for m in here.values() if m.solid == solid and m.state == "clear"], group


def test_what_dissolves_wholly_or_has_no_constant_keeps_its_amount(kb):
    scheme = kb.schemes["mixture"]
    for formula in ("Pb(NO3)2", "CaCl2.2H2O", "Na2SO4"):
        specimen = read_specimen(kb, formula)
        for ion, amount in brought_into_solution(kb, specimen).items():
            held = original_solution(kb, scheme, specimen)[ion]
            assert held == pytest.approx(scheme.original_g_mL * amount / 0.5)


@pytest.mark.parametrize("scheme", ["semimicro", "mixture"])
def test_traces_of_tin_that_sulfide_left_are_no_hydroxide_in_later_groups(kb, scheme):
    """99 % falls as SnS; the table has all of it fall, so the 0.1 g/L of hydroxide is no result."""
    margins = margins_of_specimen(kb, kb.schemes[scheme], read_specimen(kb, "SnCl2.2H2O"))

    assert margins["group-2", "tube", "reagent"]["Sn2+"].state == "clear"
    for group in ("group-3a", "group-3b", "group-4", "group-5"):
        assert "Sn2+" not in margins.get((group, "tube", "reagent"), {}), group


def test_lead_that_the_chloride_group_leaves_in_part_still_goes_on(kb):
    margins = margins_of_specimen(kb, kb.schemes["mixture"], read_specimen(kb, "Pb(NO3)2"))

    assert margins["group-2", "tube", "reagent"]["Pb2+"].state == "clear"


def test_a_residue_that_is_white_has_no_equation_to_the_black_oxide(line):
    found = line("CuSO4.5H2O", "dry-heating")

    assert "CuSO4.5H2O -> CuSO4 + 5 H2O" in found["equations"]
    assert not any("CuO" in equation for equation in found["equations"])


@pytest.mark.parametrize(
    ("mixture", "solvent"),
    [
        ("CaCl2.2H2O + Na2SO4", "dilute HCl"),
        ("CuSO4.5H2O + Na2CO3", "dilute HCl"),
        ("CaCl2.2H2O + Na2HPO4.12H2O", "dilute HCl"),
        ("Pb(NO3)2 + KI", "hot water"),
    ],
)
def test_what_falls_as_two_solutions_meet_is_told_with_what_takes_it_up(line, mixture, solvent):
    text = line(mixture, "solubility")["text"]

    assert "dissolves in cold water" in text
    assert f"dissolves in {solvent}" in text


@pytest.mark.parametrize("mixture", ["CuSO4.5H2O + CaCO3", "CaCO3 + Na2SO4", "NaCl + KNO3"])
def test_a_solid_that_needs_acid_meets_no_other_salt_in_water(kb, mixture):
    assert falling(kb, read_specimen(kb, mixture)) == ()
