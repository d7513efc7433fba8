"""How sure an observation's award is: guessed words that do not matter, and the other reading."""

from dataclasses import replace

from grading.reading.observation import read_observation
from grading.scoring.judge import FULL, NIL

CHOSEN_OTHERWISE = "the outcomes chosen earn another mark than their words"


def read_twice(judge, award, reading, again):
    """The award with its other reading; sure after all where guessed words make no difference.

    `again` judges another reading of the same words.
    """
    if reading.blank or award.blank or award.sure:
        return award
    if reading.fuzzy:
        without = again(read_observation(judge.words, _without(reading)))
        if without.share == award.share:
            award = replace(award, why=tuple(why for why in award.why if why not in _guesses(reading)))
        else:
            guess = ", ".join(f"“{written}”" for written, _meant in reading.fuzzy)
            return replace(award, other=((without.share, f"If {guess} is passed over: {without.reason}"),))
    if award.sure or award.other:
        return award
    share = NIL if award.share else FULL
    said = "something wrong" if award.share else "what is expected"
    return replace(award, other=((share, f"If what is in doubt says {said}."),))


def as_chosen(award, chosen):
    """The award of words that chosen outcomes made, beside that of the outcomes themselves.

    Two ways to the same mark are as sure as the surer of them; where they differ, a person sees both. So a
    word that could be misread costs nothing, and a wording that fits another part of the test is noticed.
    """
    if chosen.share == award.share:
        return award if award.sure or not chosen.sure else replace(award, why=(), other=())
    other = ((chosen.share, f"As chosen: {chosen.reason}"),)
    return replace(award, why=(*award.why, CHOSEN_OTHERWISE), other=other)


def _without(reading):
    """The text with its guessed words blanked."""
    text = reading.text
    for written, _meant in reading.fuzzy:
        text = text.replace(written, " " * len(written), 1)
    return text


def _guesses(reading):
    return [f"took “{written}” for “{meant}”" for written, meant in reading.fuzzy]
