"""A second look at an inference: which names are denied, by the words alone, whatever the stops and brackets.

Words of firmness behind names ("K+, Na+ absent") hold for all that stand before, those in front ("no K+") for
what follows, up to the next word that begins a new thought. Where this differs from the grammar, a person
sees both; where a denial stands between two names without a comma, the words alone cannot tell.
"""

from dataclasses import replace

from grading.reading.around import FIRM, HOLDS_ON, NAMES, kind_at, named_next, nothing_to_deny

NEW_THOUGHT = ("stop", "hence", "plan", "next")


def by_words(found, claims):
    """The claims with the firmness that the words alone give their names; nothing where it is the same."""
    told = _firmness(found)
    other = tuple(_as_told(claim, told) for claim in claims)
    changed = any(one.absent != two.absent for one, two in zip(claims, other, strict=True))
    return other if changed else ()


def _as_told(claim, told):
    firm = told.get(claim.span[0], claim.firmness)
    return claim if (firm == "absent") == claim.absent else replace(claim, firmness=firm)


def _firmness(found):
    """Where each name begins -> how firmly it is said; nothing where the words alone cannot tell."""
    told, waiting, last, ahead = {}, [], [], None
    for index, chunk in enumerate(found):
        means = _means(found, index)
        if chunk.kind in NAMES and chunk.kind != "group-sign":
            told[chunk.start] = ahead or "maybe"
            waiting, last = ([*waiting, chunk.start] if ahead is None else waiting), []
        elif (means in NEW_THOUGHT and chunk.written.isalpha()) or chunk.written == ";":
            waiting, last, ahead = [], [], None
        elif means == "not":
            if kind_at(found, index - 1) in NAMES:
                return {}
            ahead = "absent"
        elif means in FIRM:
            last = waiting or last
            told |= dict.fromkeys(last, means)
            following = found[index + 1].written if index + 1 < len(found) else ""
            ahead = means if not last or following in HOLDS_ON else None
            waiting = []
    return told


def _means(found, index):
    """What a word says of the names: a denial with no name behind it is said of those before it."""
    chunk = found[index]
    means = chunk.entry.means if chunk.kind == "inference" else ""
    if means == "none" and chunk.written.isalpha() and named_next(found, index):
        means = "not"
    return "absent" if means == "not" and nothing_to_deny(found, index) else means
