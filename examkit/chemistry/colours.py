"""Colour words: when two agree, and which of two precipitates hides the other."""

from functools import cache, lru_cache

GREYEST = 0.05  # the channels of a swatch without hue lie no further apart


def canonical(kb, word):
    """The word as the knowledge base writes it; an unknown word stays as it is."""
    return _synonyms(kb).get(word, word)


@cache
def _synonyms(kb):
    known = {like: colour.word for colour in kb.colours.values() for like in colour.like}
    return known | {word: word for word in kb.colours}


@cache
def family(kb, word):
    """The word and everything it is a shade of: {"pale green", "green"}."""
    found, waiting = set(), [canonical(kb, word)]
    while waiting:
        current = waiting.pop()
        if current not in found:
            found.add(current)
            waiting += kb.colours[current].under if current in kb.colours else ()
    return frozenset(found)


@lru_cache(maxsize=50_000)
def agree(kb, word, other):
    """Whether two colour words may mean the same sight: equal, or one is a shade of the other."""
    return canonical(kb, word) in family(kb, other) or canonical(kb, other) in family(kb, word)


def any_agree(kb, words, others):
    """Whether a word of one list agrees with a word of the other; an empty list says nothing against it."""
    return not words or not others or any(agree(kb, word, other) for word in words for other in others)


def lightness(kb, word):
    """Relative lightness of a word's swatch, from 0 (black) to 1 (white)."""
    colour = kb.colours.get(canonical(kb, word))
    if colour is None:
        return 1.0
    red, green, blue = _swatch(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue  # luma weights of Rec. 709


def tinted(kb, word):
    """Whether a word's swatch has a hue: white, grey, black and no colour at all have none."""
    colour = kb.colours.get(canonical(kb, word))
    return colour is not None and max(_swatch(colour)) - min(_swatch(colour)) > GREYEST


def _swatch(colour):
    """Red, green and blue from 0 to 1."""
    return tuple(int(colour.swatch[i : i + 2], 16) / 255 for i in (1, 3, 5))
