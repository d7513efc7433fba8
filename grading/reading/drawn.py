"""An inference that was written into the observation: "no gas, hence NH4+ absent"."""

from grading.reading.around import FIRM
from grading.reading.chunks import chunks
from grading.reading.inference import HENCE, read_inference
from grading.reading.ions import ion_table

PARTS = (",", ";", ".", "→", "-", "–")


def drawn_in(words, ions, observation):
    """The end of an observation that infers something, or nothing where none does.

    What follows "hence" is inferred; without it, only ions and groups that are said to be there or not to be.
    """
    found = chunks(words, ion_table(words, tuple(ions.values())), observation)
    for chunk in found:
        if chunk.kind == "inference" and chunk.entry.means == HENCE:
            return _naming(words, ions, observation[chunk.end :])
    if not any(chunk.kind == "inference" and chunk.entry.means in FIRM[1:] for chunk in found):
        return ""
    tails = (observation[chunk.end :] for chunk in found if chunk.written in PARTS)
    return next((tail for tail in tails if _says_firmly(words, ions, tail)), "")


def _naming(words, ions, text):
    reading = read_inference(words, ions, text)
    return text.strip() if any(claim.ions or claim.group for claim in reading.claims) else ""


def _says_firmly(words, ions, text):
    claims = read_inference(words, ions, text).claims
    named = [claim for claim in claims if claim.ions or claim.group]
    return bool(named) and all(claim.firmness in FIRM[1:] and not claim.unnamed for claim in named)
