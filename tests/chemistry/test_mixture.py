"""Mixtures of two and three salts: where every cation ends, that some line shows it, that nothing vanishes.

Where each cation should end: the classical course of separation, as in every laboratory manual (common practice;
single steps are held against published sources in tests/reference).
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examkit.chemistry.bench import Bench, walk
from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import Part, Specimen, read_specimen, settling
from examkit.chemistry.tube import LEFT, after, taken

KB = load()
SCHEME = KB.schemes["mixture"]
SYLLABUS = {*SCHEME.cations, *SCHEME.anions}
SALTS = sorted(salt.formula for salt in KB.salts.values() if SYLLABUS.issuperset(salt.ions))
specimens = st.lists(st.sampled_from(SALTS), min_size=2, max_size=3, unique=True).map(
    lambda names: Specimen(tuple(Part(KB.salts[name], 0.5) for name in names))
)
OXIDISED = {"Fe2+": "Fe3+", "Sn2+": "Sn4+", "As3+": "As5+"}  # forms in which they end
REDUCED = {"CrO4^2-": "Cr3+", "Cr2O7^2-": "Cr3+", "MnO4-": "Mn2+", "AsO2-": "As5+", "AsO4^3-": "As5+"}
ENDS = {
    "Pb2+": {"lead chloride solution", "lead sulfate"},  # partly soluble as chloride: both
    "Ag+": {"silver ammine solution"},
    "Hg2^2+": {"mercury(I) residue"},
    "Hg2+": {"mercury(II) sulfide"},
    "Bi3+": {"bismuth hydroxide"},
    "Cu2+": {"copper sulfide"},
    "Cd2+": {"yellow cadmium sulfide"},
    "As5+": {"arsenic sulfide"},
    "Sb3+": {"antimony"},
    "Sn4+": {"tin(II) solution"},
    "Fe3+": {"iron(III) hydroxide"},
    "Al3+": {"aluminium hydroxide"},
    "Cr3+": {"lead chromate"},
    "Co2+": {"cobalt solution"},
    "Ni2+": {"nickel compound"},
    "Mn2+": {"manganese hydroxide"},
    "Zn2+": {"zinc sulfide"},
    "Ba2+": {"barium chromate"},
    "Sr2+": {"strontium sulfate"},
    "Ca2+": {"calcium oxalate"},
    "Mg2+": {"ammonium magnesium phosphate"},
    **dict.fromkeys(("Na+", "K+", "Li+", "NH4+"), {"alkali solution"}),
}


def final_rack(specimen):
    """What is in which vessel when the whole scheme is done."""
    rack = Bench(KB, SCHEME, specimen).rack
    for stage in SCHEME.stages:
        fraction = taken(rack, stage) if KB.tests[stage.test].portion == "tube" else None
        if fraction:
            rack = after(KB, rack, stage, fraction)
    return rack


def expected_ends(specimen):
    """Each fraction with the cations that should be in it."""
    ends, fallen = {}, settling(KB, specimen)
    for salt in specimen.salts:
        gone = [REDUCED[ion] for ion in salt.anions if ion in REDUCED]
        for ion, form in (*((ion, OXIDISED.get(ion, ion)) for ion in salt.cations), *zip(gone, gone, strict=True)):
            stays = salt.dissolves_in == "nothing"
            if not stays and not fallen.get(ion):
                for name in ENDS[form]:
                    ends.setdefault(name, set()).add(form)
            if stays or ion in fallen:
                ends.setdefault("solution of the residue", set()).add(form)
    return ends


def unoxidised(ends):
    """The residue is taken up without oxidation."""
    return {name: ions for name, ions in ends.items() if name != "solution of the residue"}


def test_the_syllabus_holds_every_ion_of_the_base():
    assert {*KB.ions} == SYLLABUS
    assert set(ENDS) | set(OXIDISED) == set(SCHEME.cations)


@settings(max_examples=300, deadline=None)
@given(specimens)
def test_every_cation_ends_in_exactly_the_fraction_it_should(specimen):
    rack = {
        name: set(fraction.cations) for name, fraction in final_rack(specimen).items() if fraction.cations
    }

    assert unoxidised(rack) == unoxidised(expected_ends(specimen))


@settings(max_examples=200, deadline=None)
@given(specimens)
def test_no_ion_vanishes_in_any_separation(specimen):
    """After every stage the rack holds the same cations, in the form that the stage gave them."""
    rack = Bench(KB, SCHEME, specimen).rack
    for stage in SCHEME.stages:
        fraction = taken(rack, stage) if KB.tests[stage.test].portion == "tube" else None
        if fraction:
            others = {ion for name, other in rack.items() if name != stage.takes for ion in other.cations}
            rack = after(KB, rack, stage, fraction)
            assert {ion for held in rack.values() for ion in held.cations} == others | set(fraction.cations)


@settings(max_examples=150, deadline=None)
@given(specimens)
def test_some_line_points_to_every_ion_of_the_mixture(specimen):
    record = expect(KB, specimen, "mixture")
    pointed = {ion for line in record.lines if line.done for ion in line.observation.points_to}

    assert {*specimen.cations, *specimen.anions} <= pointed


@settings(max_examples=150, deadline=None)
@given(specimens)
def test_every_cation_is_confirmed_by_a_reaction_of_its_own(specimen):
    confirmed = {
        ion
        for visit in walk(KB, SCHEME, specimen)
        if visit.test.id in ("confirm-cation", "ammonium") and visit.done
        for sight in visit.sights
        for ion in sight.by
    }

    assert set(specimen.cations) <= confirmed


@settings(max_examples=150, deadline=None)
@given(specimens)
def test_no_line_rules_out_an_ion_that_is_there(specimen):
    """But a line on the solution may well miss what stays in the insoluble residue."""
    residue = {ion for salt in specimen.salts if salt.dissolves_in == "nothing" for ion in salt.cations}
    for line in expect(KB, specimen, "mixture").lines:
        if line.done:
            present = {*specimen.cations, *specimen.anions} - residue
            assert not present & set(line.observation.rules_out), line.title


def seen(text):
    """Test -> first colour words of what is seen, of the lines that are done."""
    lines = expect(KB, read_specimen(KB, text), "mixture").lines
    return {
        line.test: [o.colours[0] if o.colours else o.event for _facet, o in line.observation.seen if o.seen]
        for line in lines
        if line.done
    }


@pytest.mark.parametrize(
    ("mixture", "shown"),
    [
        pytest.param(
            "Pb(NO3)2 + AgNO3 + Hg2(NO3)2.2H2O",
            {
                "group-1": ["white"],
                "hot-water-on-chlorides": ["colourless", "white"],
                "ammonia-on-chlorides": ["colourless", "black"],
                "sulfuric-acid-on-nitrates": ["white"],
                "group-3a": [],
            },
            id="all of group I",
        ),
        pytest.param(
            "HgCl2 + CuSO4.5H2O + CdCl2",
            {
                "group-2": ["black"],
                "ammonium-sulfide-on-sulfides": ["black"],
                "nitric-acid-on-sulfides": ["blue", "black"],
                "ammonia-on-nitrates": ["deep blue"],
                "hydrogen-sulfide-in-strong-acid": ["black"],
                "cadmium-sulfide": ["yellow"],
            },
            id="copper subgroup",
        ),
        pytest.param(
            "Pb(CH3COO)2.3H2O + BiCl3 + CuCl2.2H2O",
            {"sulfuric-acid-on-nitrates": ["white"], "ammonia-on-nitrates": ["white", "deep blue"]},
            id="lead, bismuth, copper",
        ),
        pytest.param(
            "AsI3 + SbCl3 + SnCl2.2H2O",
            {
                "ammonium-sulfide-on-sulfides": ["yellow"],
                "acid-on-thio-solution": ["orange"],
                "hydrochloric-acid-on-arsenic-sulfides": ["colourless", "yellow"],
                "iron-on-antimony-and-tin": ["black", "white"],
            },
            id="arsenic subgroup",
        ),
        pytest.param(
            "AlCl3.6H2O + FeSO4.7H2O + CrCl3.6H2O",
            {
                "group-3a": ["reddish brown"],
                "peroxide-on-hydroxides": ["yellow", "reddish brown"],
                "ammonium-chloride-on-aluminate": ["white", "yellow"],
                "lead-acetate-on-chromate": ["yellow"],
            },
            id="all of group IIIA, iron as iron(II)",
        ),
        pytest.param(
            "NiCl2.6H2O + CoCl2.6H2O + MnCl2.4H2O",
            {
                "group-3b": ["black"],
                "cold-acid-on-sulfides": ["colourless", "black"],
                "hydroxide-on-manganese-and-zinc": ["white", "brown"],
                "thiocyanate-on-cobalt": ["blue"],
                "dimethylglyoxime-on-nickel": ["red", "brown"],
            },
            id="cobalt, nickel, manganese",
        ),
        pytest.param(
            "MnSO4.H2O + ZnSO4.7H2O",
            {"cold-acid-on-sulfides": ["colourless"], "hydrogen-sulfide-on-zincate": ["white"]},
            id="manganese and zinc",
        ),
        pytest.param(
            "Ba(NO3)2 + Sr(NO3)2 + CaCO3",
            {
                "group-4": ["white"],
                "acetic-acid-on-carbonates": ["colourless", "colourless"],
                "chromate-on-acetates": ["yellow"],
                "sulfate-on-acetates": ["white"],
                "oxalate-on-acetates": ["white"],
            },
            id="all of group IV",
        ),
        pytest.param(
            "NH4Cl + MgSO4.7H2O + KNO3",
            {"group-4": [], "group-5": ["white"], "interfering-anions": []},
            id="last group",
        ),
        pytest.param(
            "Ca3(PO4)2 + Al2(SO4)3.18H2O",
            {"interfering-anions": ["yellow"], "group-3a": ["white"], "oxalate-on-acetates": ["white"]},
            id="phosphate taken out before the hydroxides",
        ),
        pytest.param(
            "BaC2O4 + MgCO3",
            {"group-3a": [], "chromate-on-acetates": ["yellow"], "group-5": ["white"]},
            id="oxalate taken out",
        ),
        pytest.param(
            "BaF2 + MgCO3",
            {"group-3a": [], "group-4": ["white"], "group-5": ["white"]},
            id="fluoride taken out",
        ),
        pytest.param(
            "K2CrO4 + NaCl",
            {"group-2": ["white"], "group-3a": ["green"], "peroxide-on-hydroxides": ["yellow"]},
            id="chromate is chromium(III) from the hydrogen sulfide on",
        ),
        pytest.param(
            "KMnO4 + KCl",
            {"group-3b": ["flesh"], "hydroxide-on-manganese-and-zinc": ["white", "brown"]},
            id="permanganate",
        ),
        pytest.param(
            "Na2HAsO4.7H2O + CuSO4.5H2O",
            {"acid-on-thio-solution": ["yellow"], "hydrochloric-acid-on-arsenic-sulfides": ["yellow"]},
            id="arsenate falls with the sulfides",
        ),
        pytest.param(
            "BaSO4 + SrSO4 + CuSO4.5H2O",
            {"group-4": [], "soda-on-residue": ["colourless"], "hydrogen-sulfide-in-strong-acid": ["black"]},
            id="insoluble sulfates",
        ),
        pytest.param(
            "Na2CO3 + NaCl",
            {"anion-concentrated-acid": ["colourless", "colourless"]},
            id="chloride beside carbonate",
        ),
    ],
)
def test_named_mixtures_show_this(mixture, shown):
    record = seen(mixture)

    assert {test: record.get(test) for test in shown} == shown


def test_a_work_up_without_its_fraction_says_so():
    lines = {line.test: line for line in expect(KB, read_specimen(KB, "NaCl + KCl"), "mixture").lines}

    assert lines["peroxide-on-hydroxides"].why_not == "not needed: there is no hydroxide precipitate"
    assert lines["soda-on-residue"].why_not == f"not needed: there is no {LEFT}"


def test_a_mixture_of_insoluble_salts_is_opened_all_the_same():
    lines = {line.test: line for line in expect(KB, read_specimen(KB, "BaSO4 + AgCl"), "mixture").lines}

    assert lines["group-1"].why_not == "not possible: the salt does not dissolve, even in acid"
    assert set(lines["confirm-cation"].observation.points_to) >= {"Ba2+", "Ag+"}


def test_sodium_and_what_is_seen_behind_its_yellow_are_both_pointed_to():
    """Potassium through blue glass (common practice)."""
    lines = {line.test: line for line in expect(KB, read_specimen(KB, "NaCl + KCl"), "mixture").lines}

    assert {"Na+", "K+"} <= set(lines["flame"].observation.points_to)
