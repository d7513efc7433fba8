"""Expected records and courses for planning: computed once for each edition, specimen and scheme."""

from functools import lru_cache

from examkit.chemistry.expect import expect
from examkit.chemistry.parting import course, parting_table
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge


@lru_cache(maxsize=1000)
def _record(kb, specimen, scheme, grams):
    return expect(kb, read_specimen(kb, specimen, grams=grams), scheme).as_json()


def expected_json(exam, specimen, kb=None):
    """The expected record of a specimen under the exam's scheme, as JSON; `kb` where one is at hand."""
    kb = kb or knowledge(exam.centre)
    return _record(kb, specimen, exam.scheme, kb.schemes[exam.scheme].grams)


@lru_cache(maxsize=2000)
def course_of(kb, scheme, specimen):
    """The course of a specimen through a scheme, named as the pool names it."""
    return course(kb, scheme, read_specimen(kb, specimen, grams=scheme.grams), specimen)


@lru_cache(maxsize=100)
def pairs_of(kb, scheme, specimens, vision="usual"):
    """All pairs of these specimens (a tuple) with the tests that part them, for eyes of this vision."""
    return parting_table(kb, [course_of(kb, scheme, specimen) for specimen in specimens], vision)


def told_apart(exam, specimens):
    """All pairs of these specimens with the tests of the exam's scheme that part them."""
    kb = knowledge(exam.centre)
    return pairs_of(kb, kb.schemes[exam.scheme], tuple(sorted(specimens)))


def by_colour_alone(exam, specimens):
    """The specimens that only colours tell from another of the pool, each with those others."""
    rivals = {}
    for pair in told_apart(exam, specimens):
        if pair.by_colour_alone:
            rivals.setdefault(pair.one, []).append(pair.other)
            rivals.setdefault(pair.other, []).append(pair.one)
    return dict(sorted(rivals.items()))
