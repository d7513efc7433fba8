"""Needs in free words ("extra time 25 %; left-handed"), read where they are plain; the others are told, not
guessed.

A phrase is understood whole or not at all, so that "not colour-blind" is never read as its contrary.
"""

import re

from examkit.planning.headings import plain

# what is read -> the phrases that say it, without case, accents and punctuation (`headings.plain`)
PHRASES = {
    "colour_help": {
        "colour blind", "colourblind", "colour blindness", "red green", "red green blind",
        "red green colour blind", "red green deficient", "red green deficiency", "red green weakness",
        "colour deficient", "colour deficiency", "colour vision deficient", "colour vision deficiency",
        "deficient colour vision", "cvd", "colour weak", "colour weakness", "protan", "deutan", "tritan",
        "help with colours", "help with colour", "colour help", "colours named", "colours may be named",
    },
    "rest_breaks": {"rest breaks", "rest break", "supervised rest breaks", "supervised rest break", "breaks"},
    "separate_room": {"separate room", "own room", "a separate room", "room of their own", "separate"},
    "left_handed": {"left handed", "lefthanded", "left hander", "left handed bench", "left hand"},
    "": {"", "none", "no", "nil", "n a", "no needs", "nothing"},
}
NORMAL_SIGHT = {"normal", "full", "fine", "ok", "unaffected"}
SHARES = {"time and a quarter": 25, "time and a half": 50, "double time": 100}  # per cent more
PER_CENT = r"(\d{1,3}) ?(?:%|per ?cent)"
EXTRA_TIME = (
    re.compile(rf"\+? ?{PER_CENT} (?:extra|additional|more) time"),
    re.compile(rf"(?:extra|additional) time(?: of)?:? ?\+? ?{PER_CENT}"),
    re.compile(rf"(?:extra|additional) time \(\+?{PER_CENT}\)"),
)
BETWEEN = re.compile(r"[,;/|\r\n]|\band\b(?! a )|\s\+\s|&")
MOST = 200  # per cent


def read_needs(text):
    """What free words ask for, as fields of an Entry, and the phrases that were not understood."""
    found, unread = {}, []
    if _spelt(text) in PHRASES[""]:
        return found, ()
    for phrase in BETWEEN.split(text):
        key, value = _read(phrase.strip(" .\t\u00a0"))
        if key is None or found.get(key, value) != value:
            unread.append(phrase.strip())
        elif key:
            found[key] = value
    return found, tuple(unread)


def says(key, text):
    """Whether a text is a plain phrase for one need."""
    return _spelt(text) in PHRASES[key]


def _read(phrase):
    share = extra_time(phrase)
    if share is not None:
        return "extra_time", share
    word = _spelt(phrase)
    return next(((key, True) for key, phrases in PHRASES.items() if word in phrases), (None, None))


def extra_time(phrase):
    """The extra time that a phrase asks for, in per cent; None where it is not plain."""
    words = " ".join(phrase.casefold().split())
    found = next((match for way in EXTRA_TIME if (match := way.fullmatch(words))), None)
    if found:
        return int(found[1]) if found[1].isascii() and int(found[1]) <= MOST else None
    return SHARES.get(words)


def _spelt(phrase):
    return plain(phrase).replace("color", "colour")
