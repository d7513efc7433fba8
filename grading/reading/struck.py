"""What a candidate crossed out, or expected in vain: passed over before the rest is read, and told."""

from dataclasses import replace

from grading.reading.chunks import COLOURFUL, PASSED

OPEN, CLOSE = ("(", "[", "{"), (")", "]", "}")
BREAKS = ("stop", "pause", "colon")


def without_struck(found):
    """(chunks, doubts): the chunks with what was crossed out, or not seen but expected, passed over.

    In brackets with other words it is these; else it is what stands before, as far as the last break, or a
    colour alone where one stands just before; with nothing before, it is what follows.
    """
    doubts = []
    for index, chunk in enumerate(found):
        if chunk.kind == "negation" and chunk.entry.means == "struck":
            first, last = _reach(found, index)
            words = " ".join(other.written for other in found[first:last] if other is not chunk)
            doubts.append(f"“{words}” is taken to be crossed out")
            found = [*found[:first], *map(_passed, found[first:last]), *found[last:]]
    for index, chunk in enumerate(found):
        if chunk.kind == "negation" and chunk.entry.means == "hoped":
            last = _forth(found, index)
            doubts.append(f"“{' '.join(other.written for other in found[index:last])}” is taken as not seen")
            found = [*found[:index], *map(_passed, found[index:last]), *found[last:]]
    return found, tuple(doubts)


def _passed(chunk):
    return replace(chunk, entries=(PASSED,), guessed=())


def _reach(found, index):
    """From where to where it was crossed out."""
    before = _back(found, index)
    opened = next((at for at in range(index - 1, -1, -1) if found[at].written in (*OPEN, *CLOSE)), None)
    if opened is not None and found[opened].written in OPEN and opened < before:
        return opened, index + 1
    if before < 0:
        return index, _forth(found, index)
    if found[before].kind in COLOURFUL:
        return before, index + 1
    first = before
    while first > 0 and not _breaks(found[first - 1]):
        first -= 1
    return first, index + 1


def _back(found, index):
    """The last chunk before it that says anything, or -1."""
    said = (at for at in range(index - 1, -1, -1) if not _breaks(found[at]) and not _bare(found[at]))
    return next(said, -1)


def _forth(found, index):
    after = index + 1
    while after < len(found) and (after == index + 1 or not _breaks(found[after])):
        after += 1
    return after


def _breaks(chunk):
    return chunk.kind == "join" and chunk.entry.means in BREAKS


def _bare(chunk):
    return chunk.kind == "filler"
