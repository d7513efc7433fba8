"""What several chunks say only together: an equation, a list that is denied as a whole, much of a reagent."""

import re
from dataclasses import replace

from grading.reading.chunks import COLOURFUL, PASSED
from grading.reading.lexicon import Entry

STROKE = "~"  # two of them on each side: crossed out
OR = Entry("join", "or")
NOTHING = Entry("event", "none")
STOP = Entry("join", "stop")
ARROWS = ("→", "⇒", ">", "=", "⟶", "⇌", "←")
IN_EQUATIONS = re.compile(r"[A-Za-z][A-Za-z0-9()\[\]]{0,5}|\d+|[+()\[\]]")
SIGNS = ("↓", "↑", "+")
AMOUNT = "amount"  # said of a step: much of something; it must be told of what
ADDED = ("add", "added", "adding", "with", "in", "addition of")


def together(found):
    """The chunks with those that only say something together given that meaning."""
    return _amounts(_to_nothing(_listed(_lines(_without_equations(_without_strokes(found))))))


def _passed(chunk):
    return replace(chunk, entries=(PASSED,), guessed=())


def _without_strokes(found):
    """Without what stands between two double strokes: "~~purple~~ pink"."""
    marks = [i for i, chunk in enumerate(found[:-1]) if chunk.written == found[i + 1].written == STROKE]
    for first, last in zip(marks[::2], marks[1::2], strict=False):
        found = [*found[:first], *map(_passed, found[first : last + 2]), *found[last + 2 :]]
    return found


def _without_equations(found):
    """Without what only formulas on both sides of an arrow say: nobody saw an equation, but its ↓."""
    for index, chunk in enumerate(found):
        if chunk.written in ARROWS:
            first, last = _side(found, index, -1), _side(found, index, 1)
            if first < index < last and any(c.written == "+" for c in found[first : last + 1]):
                passed = [_passed(c) if c.kind != "event" else c for c in found[first : last + 1]]
                found = [*found[:first], *passed, *found[last + 1 :]]
    return found


def _side(found, index, way):
    """How far the formulas of an equation reach from its arrow; as far as the arrow where there are none."""
    at, end, told = index + way, index, False
    while 0 <= at < len(found) and _in_equation(found, at):
        told = told or found[at].written[:1].isalpha()
        end, at = at, at + way
    return end if told else index


def _in_equation(found, at):
    """Whether a chunk may stand in an equation: a formula, or what is left of one, a number, a sign."""
    chunk = found[at]
    if chunk.kind in ("formula", "gas", "reagent", "inference"):
        return not any(map(str.isspace, chunk.written)) and any(map(str.isalpha, chunk.written))
    inside = at + 1 < len(found) and found[at + 1].written[:1].isdigit()
    known = chunk.kind in ("unread", "filler") or (chunk.kind == "negation" and inside)
    return chunk.written in SIGNS or (known and bool(IN_EQUATIONS.fullmatch(chunk.written)))


def _lines(found):
    """With a new statement at a stroke between two that have each their heading: "ppt: white / xs: no"."""
    for index, chunk in enumerate(found):
        if chunk.written == "/" and any(c.entry.means == "colon" for c in found[index + 1 : index + 6]):
            found = [*found[:index], replace(chunk, entries=(STOP,)), *found[index + 1 :]]
    return found


def _to_nothing(found):
    """With "nothing" for a denial, or an equals sign, that is all an arrow leads to: "HCl → no"."""
    for index, chunk in enumerate(found[:-1]):
        after = found[index + 1]
        then = next((c for c in found[index + 2 :] if c.kind != "filler"), None)
        last = then is None or then.kind in ("join", "negation", "unread")
        denied = after.written == "=" or (after.kind == "negation" and after.entry.means == "not")
        if chunk.written in ARROWS and denied and last:
            found = [*found[: index + 1], replace(after, entries=(NOTHING,)), *found[index + 2 :]]
    return found


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


def either_or(found):
    """The words of a thing that is given together with its denial, to catch a mark ("no ppt or white ppt").

    "no white ppt or yellow ppt" denies both; with nothing said of the thing denied, what is said next of the
    same thing is the other choice.
    """
    for index, chunk in enumerate(found):
        if chunk.kind == "join" and chunk.entry.means == "or" and 0 < index < len(found) - 1:
            before = _as_far_as_a_stop(found[:index][::-1])[::-1]
            after = _as_far_as_a_stop(found[index + 1 :])
            if _chosen(before, after):
                return " ".join(c.written for c in (*before, chunk, *after))
    return _guessed_at(found)


def _guessed_at(found):
    """The words of one thing that is guessed at in two colours: "white ppt? yellow ppt?"."""
    marks = [index for index, chunk in enumerate(found) if chunk.written == "?"]
    guesses = [found[start:end] for start, end in zip([0, *(m + 1 for m in marks)], marks, strict=False)]
    coloured = [guess for guess in guesses if any(c.kind in COLOURFUL for c in guess)]
    things = [{c.entry.means for c in guess if _event(c)} for guess in coloured]
    if len(coloured) < 2 or any(_nothing(guess) for guess in coloured) or not set.intersection(*things):
        return ""
    return " ".join(c.written for guess in coloured for c in (*guess, found[marks[0]]))


def _as_far_as_a_stop(chunks):
    stops = (i for i, c in enumerate(chunks) if c.kind == "join" and c.entry.means in ("stop", "pause"))
    return chunks[: next(stops, len(chunks))]


def _chosen(before, after):
    """Whether one side of an "or" denies what the other tells."""
    if any(c.written.lower() in ("either", "neither", "nor") for c in (*before, *after)):
        return False
    if _nothing(after[:1]) and any(c.kind in COLOURFUL or _event(c) for c in before) and not _nothing(before):
        return True
    bare = _nothing(before) and not any(c.kind in COLOURFUL for c in before)
    things = {c.entry.means for c in before if _event(c)}
    coloured = any(c.kind in COLOURFUL for c in after)
    return bare and coloured and any(_event(c) and c.entry.means in things for c in after)


def _nothing(chunks):
    return any(c.entry.means in ("not", "none") for c in chunks if c.kind in ("negation", "event"))


def _event(chunk):
    return chunk.kind == "event" and chunk.entry.means != "none" and not chunk.entry.weak


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
