"""The words of a text as a bag: what each says, whether its part of the sentence denies it, and no more.

It is what somebody takes in who looks at a record from above: which things, colours and places are named, and
which of them are said not to be. The reader binds words to each other; here nothing is bound, so that an odd
word between two others costs nothing.
"""

from dataclasses import dataclass, replace

from grading.reading.lexicon import Entry

PARTS = ("stop", "pause", "colon")  # joins that end a part of the sentence
THINGS = ("colour", "event", "texture", "gas", "smell", "paper", "deed")
TURNS = ("turns", "goes")
SAYING = (*THINGS, "step", "reagent")
NONE = "none"
AFFIRMED = "affirms"  # "H2O ✓"
KEPT = "keeps"  # "stays white": a word of its own
SMELT = "smell"  # a verb as well: "ammonia not smelt"
LOST = "loses"  # "lost its colour": the colour that follows is what it was
GOES = Entry("event", "dissolves")  # "it goes", and nothing tells to which colour
GONE = Entry("join", LOST)  # "the purple goes"


@dataclass(frozen=True)
class Heard:
    """One word or phrase with all its meanings, the usual one first."""

    entries: tuple[Entry, ...]
    part: int  # of the sentence
    denied: bool = False
    heading: bool = False  # before a colon: what follows is told of it
    before: bool = False  # a colour that turned into the one after it
    turned: bool = False  # a colour that something turned into

    @property
    def entry(self):
        """The usual meaning."""
        return self.entries[0]

    def of(self, kind):
        """Its meaning of this kind, or None."""
        return next((entry for entry in self.entries if entry.kind == kind), None)


def heard(found):
    """What the chunks of a text say, word by word, in order."""
    told = list(_parts(found))
    parts = [_part(part, number, ended) for number, (part, ended) in enumerate(told)]
    for index, (_part_of, ended) in enumerate(told[:-1]):
        if (
            ended == "colon"
            and all(word.entry.means == NONE for word in parts[index + 1])
            and parts[index + 1]
        ):
            parts[index] = [replace(word, denied=True) for word in parts[index]]  # "ppt: nil"
    return tuple(word for part in parts for word in part)


def _parts(found):
    """(chunks, what ended them) of each part of the sentence; "and" ends one that denies."""
    part, denying = [], False
    for chunk in found:
        means = chunk.entry.means if chunk.kind == "join" else ""
        if means in PARTS and chunk.written.isalpha() and part and _denied_thing(part):
            continue  # "no gas which turns litmus blue"
        if means in PARTS or (means == "and" and denying):
            yield part, means
            part, denying = [], False
            continue
        denying = denying or _denies(chunk)
        part.append(chunk)
    yield part, "stop"


def _denied_thing(part):
    """Whether a part denies a thing and says no more, so that a relative clause goes on with it."""
    said = [chunk for chunk in part if chunk.kind != "filler"]
    return len(said) == 2 and _denies(said[0]) and said[1].kind in THINGS


def _denies(chunk):
    return chunk.kind == "negation" and chunk.entry.means == "not"


def _thing(chunk, gas):
    return chunk.kind in THINGS and not (gas and chunk.entry.means == SMELT)


def _none_of(part):
    """Whether all that is said of the things of a part is that none was seen: "precipitate: nil"."""
    nothing = any(chunk.kind == "event" and chunk.entry.means == NONE for chunk in part)
    return nothing and not any(chunk.kind == "step" or _of_something(chunk.entry) for chunk in part)


def _of_something(entry):
    return entry.told("step") or entry.told("event") or entry.facet


def _part(part, number, ended):
    """The words of a part. A denial holds for what follows it; with no thing after it, for all before."""
    denial = next((index for index, chunk in enumerate(part) if _denies(chunk)), len(part))
    gas = {chunk.kind for chunk in part[:denial] if chunk.kind in SAYING} == {"gas"}
    backwards = denial < len(part) and not any(_thing(chunk, gas) for chunk in part[denial:])
    backwards = backwards or _none_of(part)
    words, turning, lost = [], False, False
    for index, chunk in enumerate(part):
        means = chunk.entry.means if chunk.kind == "join" else ""
        if chunk.kind in SAYING:
            denied = index > denial or (backwards and not chunk.entry.negated)
            words.append(Heard(chunk.entries, number, denied, ended == "colon", lost, turning))
        elif means in (KEPT, LOST, AFFIRMED) or index == denial:
            words.append(Heard(chunk.entries, number))
            words = [replace(word, before=word.before or means == LOST) for word in words]
            lost = lost or means == LOST
        elif words and (means in TURNS or (means == "to" and words[-1].entry.kind == "colour")):
            words, turning = [replace(word, before=True) for word in words], True
    if words and words[-1].before:  # nothing came after it
        words = [replace(word, before=False) for word in words]
        turning = False
    if any(chunk.entry.means == "goes" for chunk in part) and not turning:
        coloured = any(word.entry.kind == "colour" for word in words)
        fallen = any(word.entry.kind == "event" and not word.entry.weak for word in words)
        words.append(Heard((GONE if coloured and not fallen else GOES,), number))
    return words
