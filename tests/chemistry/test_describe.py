"""Outcomes in words."""

import pytest

from examkit.chemistry.describe import describe
from examkit.chemistry.knowledge.model import Facet, Outcome

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
            "brisk effervescence, gas (CO2) without smell when cold, lime water turns milky",
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
    ],
)
def test_what_is_seen_reads_as_a_careful_candidate_writes(facet, outcomes, text):
    assert describe(facet, outcomes) == text
