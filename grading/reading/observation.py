"""An observation as written, read from left to right into findings."""

from functools import lru_cache

from grading.reading.chunks import chunks
from grading.reading.findings import Reading
from grading.reading.heard import heard
from grading.reading.lexicon import AIMED
from grading.reading.reader import Reader
from grading.reading.struck import without_struck
from grading.reading.together import either_or, together

SEEN = ("unread",)
NAMES_ONLY = ("gas", "product")  # what may only be the name of a test
PASSED = ("filler", "join")


KEPT = 8_192  # readings: candidates write the same short sentences again and again


def read_observation(words, text):
    """What a candidate says was seen. Never raises: what cannot be read is in `unread`.

    `words` is the lexicon that `grading.reading.lexicon.build` makes.
    """
    return _read(words, text or "")


@lru_cache(maxsize=KEPT)
def _read(words, text):
    found, struck = without_struck(together(chunks(words, words.observation, text)))
    reader = Reader(words, found)
    reader.run()
    findings = tuple(draft.finding() for draft in reader.drafts)
    if reader.done and all(finding.event in NAMES_ONLY and not finding.colours for finding in findings):
        findings = ()  # "chromyl chloride test done": nothing that was seen
    either = either_or(found)
    if either:
        findings = ()  # what is left to the reader to choose from says nothing of what was seen
    return Reading(
        text=text,
        findings=findings,
        heard=heard(found),
        either=either,
        read=_spans(found, lambda kind: kind not in (*SEEN, *PASSED)),
        filler=_spans(found, lambda kind: kind in PASSED),
        unread=_spans(found, lambda kind: kind in SEEN),
        fuzzy=tuple(pair for chunk in found for pair in chunk.guessed),
        aimed=tuple(chunk.written for chunk in found if chunk.kind == AIMED),
        doubts=(*struck, *reader.doubts, *contradictory(findings)),
    )


def _spans(found, wanted):
    return tuple((chunk.start, chunk.end) for chunk in found if wanted(chunk.kind))


def contradictory(findings):
    """The same thing said to be seen and not to be seen, at the same step."""
    for index, one in enumerate(findings):
        for other in findings[index + 1 :]:
            if denies(one, other) or denies(other, one):
                yield f"says both “{one.in_words()}” and “{other.in_words()}”"


def denies(one, other):
    """Whether one finding says that what the other says was not seen, at the same step."""
    if not one.negated or other.negated or one.event != other.event:
        return False
    same_place = one.step == other.step and one.reagents == other.reagents and one.effect == other.effect
    of_another = one.gas not in (None, other.gas) or one.smell not in (None, other.smell)
    return same_place and not of_another and (not one.colours or bool(set(one.colours) & set(other.colours)))
