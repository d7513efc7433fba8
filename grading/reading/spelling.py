"""Misspelt words: the nearest word of the vocabulary, where there is exactly one and nothing is at stake.

Near is a word a few slips of the pen away; else one that sounds the same and is not spelt quite otherwise.
"""

from functools import lru_cache

from jellyfish import metaphone
from rapidfuzz.distance import DamerauLevenshtein
from rapidfuzz.process import extract

SHORTEST = 4  # shorter words ("no", "red", "hot") are too near to each other
SLIPS = ((4, 1), (7, 2), (11, 3))  # from this length on, so many slips of the pen
SOUNDS = 2  # sounds that a word must have to be known by them


@lru_cache(maxsize=20_000)
def _nearest(word, vocabulary, slips):
    found = extract(word, vocabulary, scorer=DamerauLevenshtein.distance, score_cutoff=slips, limit=12)
    return tuple((match, distance) for match, distance, _index in found)


def corrected(table, word):
    """The word of the vocabulary that `word` was meant to be, or None.

    Never a negation, never a word of another first letter, never where two words are equally near.
    """
    if len(word) < SHORTEST or word in table.lookalikes:
        return None
    if word.replace("y", "i") in table.words:
        return word.replace("y", "i")  # "ferrycyanide"
    slips = max(allowed for length, allowed in SLIPS if len(word) >= length)
    near = [pair for pair in _nearest(word, _targets(table), slips) if pair[0][0] == word[0]]
    near = near or _alike(table, word)
    if not near:
        return None
    if any(match in table.negating for match, _distance in near):
        return None
    best = min(distance for _match, distance in near)
    matches = _likeliest(table, word, [match for match, distance in near if distance == best])
    meanings = {table.phrases.get((match,), (match,))[0] for match in matches}
    return matches[0] if len(meanings) == 1 else None


def _likeliest(table, word, matches):
    """Of words equally near those that stand alone in the vocabulary, and of these those that sound alike."""
    alone = [match for match in matches if (match,) in table.phrases] or matches
    return [match for match in alone if _sound(match) == _sound(word)] or alone


@lru_cache(maxsize=20_000)
def _alike(table, word):
    """The words that sound the same in English, with the slips between; half of the letters may differ."""
    sound = _sound(word)
    alike = _sounds(table).get(sound, ()) if word.isascii() and len(sound) >= SOUNDS else ()
    told = ((match, DamerauLevenshtein.distance(word, match)) for match in alike if match[0] == word[0])
    return [pair for pair in told if pair[1] <= len(word) // 2]


@lru_cache(maxsize=16)
def _sounds(table):
    found = {}
    for word in _targets(table):
        found.setdefault(_sound(word), []).append(word)
    return found


def _sound(word):
    return metaphone(word).replace(" ", "")


@lru_cache(maxsize=16)
def _targets(table):
    return tuple(sorted(word for word in table.words if len(word) >= SHORTEST))
