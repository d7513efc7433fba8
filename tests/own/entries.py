"""Entries of one's own, as data and as forms send them."""

from examkit.own.services import own_add

NICKEL_BROMIDE = {"salt": {
    "formula": "NiBr2.3H2O", "name": "nickel(II) bromide trihydrate", "names": ["nickel bromide"],
    "cas": "7789-49-3", "ions": {"Ni2+": 1, "Br-": 2}, "besides": {}, "colour": ["green", "yellowish green"],
    "form": "crystals", "moisture": "hygroscopic", "odour": None, "dissolves_in": "cold water",
    "solution": ["green"], "keeping": "tightly closed",
    "hazards": {"signal": "Warning", "statements": ["H315", "H319"], "pictograms": ["exclamation"]},
}}
SALT_FORM = {
    "formula": "NiBr2.3H2O", "name": "nickel(II) bromide trihydrate", "names": "nickel bromide",
    "cas": "7789-49-3", "cation": "Ni2+", "second_cation": "", "anion": "Br-", "besides": "",
    "colour": "green, yellowish green", "form": "crystals", "moisture": "hygroscopic", "odour": "",
    "dissolves_in": "cold water", "solution_words": "green", "keeping": "tightly closed",
    "signal": "Warning", "statements": "H315, H319", "pictograms": ["exclamation"], "why": "in our cupboard",
}
WEAK_AMMONIA = {"reagent": {"name": "ammonia solution, 2 mol/L", "strength_mol_L": 2.0}}
BLUISH = {"subject": "Ni2+", "test": "naoh", "facet": "tube", "seen": [
    {"step": "drops", "event": "precipitate", "colours": ["bluish green"], "texture": "gelatinous"},
    {"step": "excess", "event": "none"}]}


def add(cast, kind, data, key="", **more):
    """An entry of the cast's centre, by its teacher."""
    return own_add(**{"centre": cast.centre, "who": cast.teacher, "kind": kind, "key": key, "data": data,
                      "why": "tried here in March"} | more)


def add_salt(cast, **salt):
    """Nickel bromide trihydrate, which the shipped base does not have."""
    data = {"salt": NICKEL_BROMIDE["salt"] | salt}
    return add(cast, "salt", data, data["salt"]["formula"])
