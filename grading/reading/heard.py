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
KEPT = "keeps"  # "stays white": a word of its own
GOES = Entry("event", "dissolves")  # "it goes", and nothing tells to which colour


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
    parts = [_part(part, number, ended) for number, (part, ended) in enumerate(_parts(found))]
    return tuple(word for part in parts for word in part)


def _parts(found):
    """(chunks, what ended them) of each part of the sentence; "and" ends one that denies."""
    part, denying = [], False
    for chunk in found:
        means = chunk.entry.means if chunk.kind == "join" else ""
        if means in PARTS or (means == "and" and denying):
            yield part, means
            part, denying = [], False
            continue
        denying = denying or _denies(chunk)
        part.append(chunk)
    yield part, "stop"


def _denies(chunk):
    return chunk.kind == "negation" and chunk.entry.means == "not"


def _part(part, number, ended):
    """The words of a part. A denial holds for what follows it; with no thing after it, for all before."""
    denial = next((index for index, chunk in enumerate(part) if _denies(chunk)), len(part))
    backwards = denial < len(part) and not any(chunk.kind in THINGS for chunk in part[denial:])
    words, turning = [], False
    for index, chunk in enumerate(part):
        means = chunk.entry.means if chunk.kind == "join" else ""
        if chunk.kind in SAYING:
            denied = backwards or index > denial
            words.append(Heard(chunk.entries, number, denied, ended == "colon", turned=turning))
        elif means == KEPT or index == denial:
            words.append(Heard(chunk.entries, number))
        elif words and (means in TURNS or (means == "to" and words[-1].entry.kind == "colour")):
            words, turning = [replace(word, before=True) for word in words], True
    if words and words[-1].before:  # nothing came after it
        words = [replace(word, before=False) for word in words]
        turning = False
    if any(chunk.entry.means == "goes" for chunk in part) and not turning:
        words.append(Heard((GOES,), number))
    return words
