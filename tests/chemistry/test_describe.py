"""Outcomes in words."""

import pytest

from examkit.chemistry.describe import describe, describe_test
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.knowledge.work import Facet
from examkit.knowledge import knowledge

TUBE = Facet("tube", "precipitate", ("drops", "excess", "on standing"), "no precipitate")
BEAD = Facet("bead", "bead", ("oxidising hot", "oxidising cold"), "no colour")
DRY = Facet("residue", "residue", ("hot", "cold"), "no residue")


def outcome(step, event, *colours, **more):
    return Outcome(event, step=step, colours=colours, **more)


@pytest.mark.parametrize(
    ("facet", "outcomes", "text"),
    [
        (
            TUBE,
            [
                outcome("drops", "precipitate", "white", texture="gelatinous"),
                outcome("excess", "dissolves", "colourless"),
            ],
            "white gelatinous precipitate, dissolves in excess to a colourless solution",
        ),
        (
            TUBE,
            [outcome("drops", "precipitate", "pale green"), outcome("excess", "none")],
            "pale green precipitate, insoluble in excess",
        ),
        (
            TUBE,
            [
                outcome("drops", "precipitate", "white"),
                outcome("excess", "none"),
                outcome("on standing", "precipitate", "brown"),
            ],
            "white precipitate, insoluble in excess, turns brown on standing",
        ),
        (TUBE, [outcome("drops", "none"), outcome("excess", "none")], "no precipitate"),
        (
            BEAD,
            [outcome("oxidising hot", "bead", "violet"), outcome("oxidising cold", "bead", "reddish brown")],
            "bead in the oxidising flame: violet hot, reddish brown cold",
        ),
        (
            DRY,
            [outcome("hot", "residue", "yellow"), outcome("cold", "residue", "white")],
            "residue yellow hot, white cold",
        ),
        (
            DRY,
            [outcome("hot", "residue", "black"), outcome("cold", "residue", "black")],
            "black residue, hot and cold",
        ),
        (
            Facet("gas", "gas", (), "no gas"),
            [outcome("", "gas", "brown", gas="NO2", smell="pungent")],
            "brown gas (NO2) with a pungent smell",
        ),
        (
            Facet("gas", "gas", ("cold",), "no gas"),
            [
                outcome(
                    "cold",
                    "effervescence",
                    gas="CO2",
                    smell="odourless",
                    texture="brisk",
                    also_seen="lime water turns milky",
                )
            ],
            "brisk effervescence, gas (CO2) without smell in the cold, lime water turns milky",
        ),
        (
            Facet("flame", "flame", ("naked eye", "blue glass"), "no distinct colour"),
            [outcome("naked eye", "flame", "lilac"), outcome("blue glass", "flame", "crimson")],
            "lilac flame, crimson through blue glass",
        ),
        (
            Facet(
                "dissolving", "dissolves in", ("cold water", "hot water", "dilute HCl"), "does not dissolve"
            ),
            [
                outcome("cold water", "none"),
                outcome("hot water", "none"),
                outcome("dilute HCl", "dissolves", "blue"),
            ],
            "insoluble in cold water and hot water, dissolves in dilute HCl to a blue solution",
        ),
        (Facet("sound", "sound", (), ""), [outcome("", "crackling")], "crackles"),
        (
            TUBE,
            [outcome("drops", "precipitate", "yellow"), outcome("excess", "dissolves", "orange")],
            "yellow precipitate, dissolves in excess to an orange solution",
        ),
        (
            Facet("sublimate", "sublimate", (), "no sublimate"),
            [outcome("", "sublimate", "grey", texture="mirror of droplets")],
            "grey sublimate, mirror of droplets",
        ),
        (Facet("melts", "melting", (), ""), [outcome("", "melts", "orange")], "melts to an orange liquid"),
        (
            Facet("iodine", "iodine", ("reagent",), "stays brown"),
            [outcome("reagent", "colour", "colourless", also_seen="the brown goes")],
            "colourless solution, the brown goes",
        ),
        (
            TUBE,
            [outcome("drops", "dissolves", "blue"), outcome("on standing", "colour", "brown")],
            "dissolves to a blue solution, turns brown on standing",
        ),
        (
            Facet("odour", "smell", (), ""),
            [outcome("", "smell", smell="faintly of vinegar")],
            "faint smell of vinegar",
        ),
        (
            Facet("litmus", "blue litmus and ammonia", ("reagent",), "no blue lake"),
            [outcome("reagent", "precipitate", "blue", texture="lake in a colourless liquid")],
            "blue lake in a colourless liquid",
        ),
        (
            Facet("gas", "gas", ("cold", "warm"), "no gas"),
            [
                outcome(
                    "cold", "gas", "colourless", gas="SO2", smell="pungent", also_seen="paper turns green"
                ),
                outcome(
                    "warm", "gas", "colourless", gas="SO2", smell="pungent", also_seen="paper turns green"
                ),
            ],
            "colourless gas (SO2) with a pungent smell in the cold, paper turns green, "
            "colourless gas (SO2) on warming",
        ),
        (
            Facet("gas", "gas", ("cold",), "no gas"),
            [outcome("cold", "effervescence", gas="CO2", texture="brisk at first, soon slower")],
            "effervescence, brisk at first, soon slower, gas (CO2) in the cold",
        ),
        (
            Facet("incrustation", "incrustation", ("hot", "cold"), "no incrustation"),
            [outcome("hot", "sublimate", "yellow"), outcome("cold", "sublimate", "white")],
            "incrustation yellow hot, white cold",
        ),
    ],
)
def test_what_is_seen_reads_as_a_careful_candidate_writes(facet, outcomes, text):
    assert describe(facet, outcomes) == text


def test_a_second_portion_with_copper_is_told_from_the_first():
    kb = knowledge()
    test = kb.tests["anion-concentrated-acid"]
    seen = [
        ("gas", [outcome("warm", "gas", "brown", gas="NO2")]),
        ("copper", [outcome("heat", "gas", "brown", gas="NO2")]),
    ]
    assert describe_test(test, seen) == (
        "brown gas (NO2) on warming; with copper turnings: brown gas (NO2) on heating"
    )
