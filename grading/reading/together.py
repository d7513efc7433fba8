"""What several chunks say only together: an equation, a list that is denied as a whole, much of a reagent."""

import re
from dataclasses import replace

from grading.reading.chunks import COLOURFUL, PASSED
from grading.reading.lexicon import Entry

STROKE = "~"  # two of them on each side: crossed out
OR = Entry("join", "or")
ARROWS = ("→", "⇒", ">", "=", "⟶", "⇌", "←")
IN_EQUATIONS = re.compile(r"[A-Z][A-Za-z0-9()\[\]]*|\d+|[+()\[\]↑↓]")
AMOUNT = "amount"  # said of a step: much of something; it must be told of what
ADDED = ("add", "added", "adding", "with", "in", "addition of")


def together(found):
    """The chunks with those that only say something together given that meaning."""
    return _amounts(_listed(_without_equations(_without_strokes(found))))


def _passed(chunk):
    return replace(chunk, entries=(PASSED,), guessed=())


def _without_strokes(found):
    """Without what stands between two double strokes: "~~purple~~ pink"."""
    marks = [i for i, chunk in enumerate(found[:-1]) if chunk.written == found[i + 1].written == STROKE]
    for first, last in zip(marks[::2], marks[1::2], strict=False):
        found = [*found[:first], *map(_passed, found[first : last + 2]), *found[last + 2 :]]
    return found


def _without_equations(found):
    """Without what only formulas on both sides of an arrow say: nobody saw an equation."""
    for index, chunk in enumerate(found):
        if chunk.written in ARROWS:
            first, last = _side(found, index, -1), _side(found, index, 1)
            if first < index < last and any(c.written == "+" for c in found[first : last + 1]):
                found = [*found[:first], *map(_passed, found[first : last + 1]), *found[last + 1 :]]
    return found


def _side(found, index, way):
    """How far the formulas of an equation reach from its arrow."""
    at, end = index + way, index
    while 0 <= at < len(found) and IN_EQUATIONS.fullmatch(found[at].written):
        end, at = at, at + way
    return end


def _listed(found):
    """With "or" for the commas of a list that is denied: "no black, yellow or brown ppt"."""
    denied = False
    for index, chunk in enumerate(found):
        if chunk.kind == "negation":
            denied = chunk.entry.means == "not"
        elif chunk.kind == "join" and chunk.entry.means == "stop":
            denied = False
        elif denied and chunk.written == "," and _between_colours(found, index):
            found = [*found[:index], replace(chunk, entries=(OR,)), *found[index + 1 :]]
    return found


def _between_colours(found, index):
    """Whether a comma stands between colours of a list that goes on with "or"."""
    before, after = found[max(index - 1, 0)], found[index + 1 : index + 8]
    if before.kind not in COLOURFUL or not after or after[0].kind not in COLOURFUL:
        return False
    rest = next((c for c in after if c.kind not in COLOURFUL and c.written != ","), None)
    return rest is not None and rest.kind == "join" and rest.entry.means == "or"


def _amounts(found):
    """With "much" as a step where it is told of what: "more ammonia", "add much"."""
    return [_amount(found, i) if chunk.entry.place == AMOUNT else chunk for i, chunk in enumerate(found)]


def _amount(found, index):
    chunk = found[index]
    after = next((c for c in found[index + 1 :] if not _joins(c)), None)
    before = found[index - 1].written.lower() if index else ""
    of_something = after is not None and (
        after.of("reagent") or after.of("gas") or after.entry.means == "gas"
    )
    alone = after is None or after.kind not in (*COLOURFUL, "texture", "degree", "step")
    if not (of_something or (before in ADDED and alone)):
        return _passed(chunk)
    return replace(chunk, entries=(replace(chunk.entry, place=""),))


def _joins(chunk):
    return chunk.kind == "filler" or (chunk.kind == "join" and chunk.entry.means == "into")
