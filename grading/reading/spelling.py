"""Misspelt words: the nearest word of the vocabulary, where there is exactly one and nothing is at stake."""

from functools import lru_cache

from rapidfuzz.distance import DamerauLevenshtein
from rapidfuzz.process import extract

SHORTEST = 4  # shorter words ("no", "red", "hot") are too near to each other
SLIPS = ((4, 1), (7, 2), (11, 3))  # from this length on, so many slips of the pen


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
    slips = max(allowed for length, allowed in SLIPS if len(word) >= length)
    near = [pair for pair in _nearest(word, _targets(table), slips) if pair[0][0] == word[0]]
    if not near:
        return None
    best = min(distance for _match, distance in near)
    matches = [match for match, distance in near if distance == best]
    meanings = {table.phrases.get((match,), (match,))[0] for match in matches}
    if len(meanings) > 1 or any(match in table.negating for match, _distance in near):
        return None
    return matches[0]


@lru_cache(maxsize=16)
def _targets(table):
    return tuple(sorted(word for word in table.words if len(word) >= SHORTEST))
