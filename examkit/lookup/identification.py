"""A record given outcome by outcome: the choices of each line, and the observations they stand for.

A choice is named by an ion or salt that shows it (`naoh.tube=Pb2+`): the address of a page stays readable,
and means the same when outcomes are added to the knowledge base.
"""

from dataclasses import dataclass
from functools import partial

from examkit.chemistry.bench import walk
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.identify import identify
from examkit.chemistry.knowledge.work import Facet, Test
from examkit.chemistry.specimen import read_specimen
from examkit.lookup.outcomes import in_words, possible


@dataclass(frozen=True)
class Option:
    """One answer: its name in the address, its words, whether it is the one chosen."""

    value: str
    text: str
    chosen: bool


@dataclass(frozen=True)
class Question:
    """What was seen in one facet of a test; nothing chosen says nothing."""

    test: Test
    facet: Facet
    options: tuple[Option, ...]

    @property
    def name(self):
        """Its name in the address."""
        return f"{self.test.id}.{self.facet.key}"

    @property
    def answered(self):
        """Whether an option is chosen."""
        return any(option.chosen for option in self.options)


def questions(kb, scheme, answers):
    """For each test of the scheme its questions; `answers` maps names of questions to values."""
    for stage in scheme.stages:
        test = kb.tests[stage.test]
        asked = [_question(kb, scheme, test, facet, answers) for facet in test.facets.values()]
        yield test, [question for question in asked if question.options]


def _question(kb, scheme, test, facet, answers):
    value = answers.get(f"{test.id}.{facet.key}", "")
    choices = [choice for choice in possible(kb, scheme, test) if choice.facet is facet]
    options = [
        Option(choice.subjects[0], choice.text, value in (*choice.ions, *choice.salts)) for choice in choices
    ]
    seen = seen_as(kb, scheme, test, facet.key, value) if value else None
    if seen is not None and not any(option.chosen for option in options):
        options.append(Option(value, in_words(test, facet.key, seen), True))
    return Question(test, facet, tuple(options))


def seen_as(kb, scheme, test, facet, subject):
    """The outcomes that an ion, a salt or a mixture shows in a facet; None where it shows none there."""
    for choice in possible(kb, scheme, test):
        if choice.facet.key == facet and subject in (*choice.ions, *choice.salts):
            return choice.seen
    try:
        specimen = read_specimen(kb, subject, scheme.grams)
    except UnknownSubject:
        return None
    shown = (sight for visit in walk(kb, scheme, specimen) if visit.test is test for sight in visit.sights)
    return next((sight.seen for sight in shown if sight.facet == facet), None)


def record_of(kb, scheme, specimen):
    """The answers that a specimen's own expected record gives."""
    value = " + ".join(salt.formula for salt in specimen.salts)
    return {
        f"{visit.test.id}.{sight.facet}": _named(kb, scheme, visit.test, sight) or value
        for visit in walk(kb, scheme, specimen)
        for sight in visit.sights
    }


def _named(kb, scheme, test, sight):
    """The first subject that shows the same in the same words."""
    text = in_words(test, sight.facet, sight.seen)
    same = (c for c in possible(kb, scheme, test) if c.facet.key == sight.facet and c.text == text)
    return next((choice.subjects[0] for choice in same), "")


def observed(kb, scheme, answers):
    """The record as `identify` reads it: (facet key, Outcome) pairs by test."""
    record = {}
    for name, value in answers.items():
        test_id, _, facet = name.partition(".")
        test = kb.tests.get(test_id)
        seen = seen_as(kb, scheme, test, facet, value) if test and facet in test.facets else None
        record.setdefault(test_id, []).extend((facet, outcome) for outcome in seen or ())
    return {test: tuple(pairs) for test, pairs in record.items() if pairs}


@dataclass(frozen=True)
class Out:
    """A test with the specimens that it ruled out, each with what it would have shown there."""

    test: Test
    specimens: tuple[tuple[str, str], ...]  # formula of the salt, words


def verdicts(kb, scheme, answers):
    """The salts that fit the answers, and the tests that ruled out the others, in the scheme's order."""
    found = identify(kb, scheme, observed(kb, scheme, answers))
    words = partial(_would_show, kb)
    ruled = {stage.test: [] for stage in scheme.stages}
    for verdict in found:
        if not verdict.fits:
            ruled[verdict.test].append((verdict.specimen.salts[0], words(verdict)))
    fitting = [verdict.specimen.salts[0] for verdict in found if verdict.fits]
    return fitting, [Out(kb.tests[test], tuple(out)) for test, out in ruled.items() if out]


def _would_show(kb, verdict):
    return in_words(kb.tests[verdict.test], verdict.facet, verdict.would_show)
