"""How invented candidates write: the expected record as a careful, hasty, mistaken or idle hand puts it."""

import hashlib
from dataclasses import dataclass

SHORT = (
    ("precipitate", "ppt"), ("gelatinous ", "gel. "), ("insoluble in excess", "insol in xs"),
    ("dissolves in excess", "sol. in excess"), ("to a colourless solution", ""), ("solution", "soln"),
    ("white", "wht"), ("colourless", "colorless"), ("oxidising flame", "O.F."), ("reducing flame", "R.F."),
)
SLIPS = (
    ("precipitate", "precipitat"), ("reddish brown", "redish brown"), ("yellow", "yelow"),
    ("effervescence", "effervesence"), ("residue", "residu"), ("pungent", "punjent"),
    ("gelatinous", "gelatinus"), ("crimson", "crimsen"),
)
HANDS = ("careful", "hasty", "careful", "mistaken", "hasty", "slips", "careful", "idle", "slips", "hasty")
MISTAKEN_AT = ("naoh", "ammonia", "confirm-cation")


@dataclass(frozen=True)
class Written:
    """A record as written: lines of (test, observation, inference), and the salt that was concluded."""

    lines: tuple[tuple[str, str, str], ...]
    cation: str
    anion: str


def write(number, expected, other):
    """The record of the candidate with this number, whose sample has the `expected` record.

    `other` is the record of another salt of the pool, for those who mistake one for the other.
    """
    hand = HANDS[_dice(number, "hand") % len(HANDS)]
    done = (line for line in expected["lines"] if line["done"])
    lines = tuple(filter(None, (_line(number, hand, line, other) for line in done)))
    concluded = other if hand == "mistaken" else expected
    if hand == "idle":
        return Written(lines, "", expected["anions"][0])
    return Written(lines, concluded["cations"][0], expected["anions"][0])


def _dice(number, what):
    """A number that is the same every time for the same candidate and question."""
    return int.from_bytes(hashlib.sha256(f"{number}/{what}".encode()).digest()[:4], "big")


def _line(number, hand, line, other):
    if hand == "mistaken" and line["test"] in MISTAKEN_AT:
        line = next(their for their in other["lines"] if their["test"] == line["test"])
    if hand == "idle" and _dice(number, line["test"]) % 2:
        return None
    if hand == "slips" and _dice(number, line["test"]) % 9 == 0:
        return None
    return line["test"], _observation(hand, line), _inference(hand, line)


def _observation(hand, line):
    text = line["text"].split("; or ")[0]
    changes = {"hasty": SHORT, "slips": SLIPS}.get(hand, ())
    for old, new in changes:
        text = text.replace(old, new)
    return text.strip()


def _inference(hand, line):
    """A careful hand names all that is pointed to, a hasty one the first; if nothing, what is absent."""
    if line["points_to"]:
        ions = line["points_to"] if hand == "careful" else line["points_to"][:2]
        return " or ".join(ions) + " may be present"
    if line["rules_out"]:
        return ", ".join(line["rules_out"][:3]) + " absent"
    return ""
