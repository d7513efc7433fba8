"""Words of an inference that were not read, and that are near to no word that names an ion or denies it."""

from functools import lru_cache

from rapidfuzz.distance import DamerauLevenshtein
from rapidfuzz.process import extractOne

from grading.reading.around import FIRM

SHORTEST = 4  # shorter ones may be a symbol or an abbreviation of anything
NEAR = 2  # slips of the pen, in words of seven letters and more one more
TELLING = ("ion", "family", "group-name", "group-sign", "gas", "salt", "numeral", "formula")
ENDINGS = ("ium", "ide", "ate", "ite", "ous", "ic", "um", "ine")  # how ions and elements are called


def harmless(table, word):
    """Whether a word that is in no list says nothing of ions: it looks like no name and like no denial."""
    plain = word.lower()
    if len(plain) < SHORTEST or not plain.isalpha() or plain.endswith(ENDINGS):
        return False
    slips = NEAR + (len(plain) >= 7)
    return extractOne(plain, _telling(table), scorer=DamerauLevenshtein.distance, score_cutoff=slips) is None


@lru_cache(maxsize=8)
def _telling(table):
    """The words of four letters and more that name something, or say that it is there or not."""
    found = set()
    for phrase, entries in table.phrases.items():
        if any(e.kind in TELLING or e.kind == "inference" and e.means in (*FIRM, "not") for e in entries):
            found |= {word for word in phrase if len(word) >= SHORTEST}
    return tuple(sorted(found))
