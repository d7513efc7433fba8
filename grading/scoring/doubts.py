"""How sure an observation's award is: guessed words that do not matter, and the other reading."""

from dataclasses import replace

from grading.reading.observation import read_observation
from grading.scoring.judge import FULL, NIL


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


def _without(reading):
    """The text with its guessed words blanked."""
    text = reading.text
    for written, _meant in reading.fuzzy:
        text = text.replace(written, " " * len(written), 1)
    return text


def _guesses(reading):
    return [f"took “{written}” for “{meant}”" for written, meant in reading.fuzzy]
