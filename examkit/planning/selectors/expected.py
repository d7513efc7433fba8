"""Expected records for planning: computed once for each edition, specimen and scheme."""

from functools import lru_cache

from examkit.chemistry.colours import agree
from examkit.chemistry.expect import expect
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.planning.telling_apart import pairs, shade


@lru_cache(maxsize=1000)
def _record(kb, specimen, scheme, grams):
    return expect(kb, read_specimen(kb, specimen, grams=grams), scheme).as_json()


def expected_json(exam, specimen, kb=None):
    """The expected record of a specimen under the exam's scheme, as JSON; `kb` where one is at hand."""
    kb = kb or knowledge(exam.centre)
    return _record(kb, specimen, exam.scheme, kb.schemes[exam.scheme].grams)


def told_apart(exam, specimens):
    """All pairs of these specimens with the tests that part them (`examkit.planning.telling_apart.Pair`)."""
    return _pairs(knowledge(exam.centre), exam.scheme, tuple(sorted(specimens)))


@lru_cache(maxsize=50)
def _pairs(kb, scheme, specimens):
    grams = kb.schemes[scheme].grams
    records = {specimen: _record(kb, specimen, scheme, grams) for specimen in specimens}
    return pairs(
        records, lambda one, other: agree(kb, one, other), lambda one, other: _same_shade(kb, one, other)
    )


def _same_shade(kb, one, other):
    colours = kb.colours
    if one not in colours or other not in colours:
        return True  # a word without a swatch says nothing about lightness
    return shade(colours[one].swatch) == shade(colours[other].swatch)


def by_colour_alone(exam, specimens):
    """The specimens that only colours tell from another of the pool, each with those others."""
    rivals = {}
    for pair in told_apart(exam, specimens):
        if pair.by_colour_alone:
            rivals.setdefault(pair.one, []).append(pair.other)
            rivals.setdefault(pair.other, []).append(pair.one)
    return dict(sorted(rivals.items()))
