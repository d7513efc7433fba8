"""The reading by grammar and the look from above, put together: what is suggested, and whether it is sure."""

from dataclasses import replace

from grading.scoring.from_above import TWO_LOOKS
from grading.scoring.judge import FULL

BY_WORDS = "all that decides is named, though the sentence was not understood in full"
NAMED = "All that decides is named, and nothing else that competes with it."
BESIDE_RIGHT = "something that is not expected stands beside what is right"
SETTLED = (BESIDE_RIGHT,)  # what troubles one look alone: not where the other has seen nothing of it
UNREAD = 3  # so many words may be unread where both looks see all that decides


def both_looks(award, view, reading):
    """The award of the reading by grammar beside the view from above, with the reasons for a person to look.

    Where the grammar only missed something that the words name, they count as they would have been read;
    where the two differ otherwise, the award stays and a person sees both. Where both see all that decides,
    and nothing that competes, a word that was guessed, or was not known, would change nothing.
    """
    why = tuple(reading.why_unsure())
    if view.share == FULL and award.share < FULL and award.unsaid:
        other = ((award.share, award.reason), *award.other)
        why = (*why, *award.why, BY_WORDS)
        return replace(award, share=FULL, reason=NAMED, why=why, other=other[:1], blank=False)
    if view.share == award.share == FULL:
        return replace(award, why=(*_unsettled(reading, why), *(w for w in award.why if w not in SETTLED)))
    if not _differ(award, view):
        return replace(award, why=(*why, *award.why))
    share = view.share if view.share is not None else award.share
    seen = ((share, f"By its words alone: {view.why or NAMED}"),) if share != award.share else ()
    return replace(award, why=(*why, *award.why, TWO_LOOKS), other=award.other or seen)


def _differ(award, view):
    """Whether the view from above speaks against the award."""
    if view.share is None:
        return award.share == FULL and view.rival
    return view.share != award.share or (not award.share and not award.blank)


def _aside(reading):
    """The unread words that do not stand just before one that was read, whose meaning they may change."""
    begins = {start for start, _end in reading.read}
    for start, end in reading.unread:
        after = len(reading.text) - len(reading.text[end:].lstrip())
        if after not in begins:
            yield reading.text[start:end]


def _unsettled(reading, why):
    """The reasons of the reading that still hold where both looks see all that decides."""
    few = len(reading.unread) <= min(UNREAD, len(reading.read))
    passed = {f"could not read “{word}”" for word in _aside(reading)} if few else set()
    passed |= {f"took “{written}” for “{meant}”" for written, meant in reading.fuzzy}
    return tuple(reason for reason in why if reason not in passed)
