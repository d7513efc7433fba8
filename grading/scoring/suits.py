"""Whether an ion may well have shown what was recorded, as far as it was: at any step, by any account."""

from dataclasses import replace
from functools import cache

from examkit.chemistry.backwards import by_facet, fits
from grading.reading.drafts import GASEOUS


def suiting(judge, test, seen, ions, gases=()):
    """Those of the ions that by some account show what was recorded; the steps are passed over.

    `gases` are those that the candidate named: they may come of the ion in another test, too.
    """
    found = by_facet(test, seen)
    told = [(facet, outcomes) for facet, outcomes in found if any(o.seen for o in outcomes)]
    if not told or any(_contradict(outcomes) for _facet, outcomes in found):
        return frozenset()
    return frozenset(
        ion for ion in ions if all(_somewhere(judge, test, *pair, ion, frozenset(gases)) for pair in found)
    )


def _somewhere(judge, test, facet, outcomes, ion, gases):
    """Whether it suits the facet it was taken for, or, where facets are no tests of their own, another."""
    places = [
        facet,
        *(other for other in test.facets.values() if not (other.of or facet.of) and other != facet),
    ]
    return any(_suits(judge, test, place, outcomes, ion, gases) for place in places)


def _contradict(outcomes):
    """Whether something and nothing are recorded at the same step."""
    return bool({o.step for o in outcomes if o.seen} & {o.step for o in outcomes if not o.seen})


def _suits(judge, test, facet, outcomes, ion, gases):
    seen = tuple(outcome for outcome in outcomes if outcome.seen)
    unmoved = {outcome.step for outcome in outcomes if not outcome.seen and outcome.step}
    events = {outcome.event for outcome in seen}
    whole = replace(facet, steps=(), sorts=())
    accounts = accounts_of(judge.kb, test.id, facet.key, ion)
    if seen and all(outcome.event in GASEOUS for outcome in seen):
        accounts = (*accounts, *_gases_of(judge.kb, ion, gases))
    if not seen:
        return not accounts or any(not _moved(account, unmoved, events) for account in accounts)
    return any(
        fits(judge.kb, whole, seen, account) and not _moved(account, unmoved, events)
        for account in accounts
        if any(outcome.seen for outcome in account)
    )


@cache
def _gases_of(kb, ion, gases):
    """What is seen of these gases where they come of an ion, in whatever test."""
    facts = kb.ions[ion].facts.values()
    seen = (item for fact in facts for item in fact.seen if item.event in GASEOUS and item.gas in gases)
    return tuple((item,) for item in dict.fromkeys(seen))


def _moved(account, steps, events):
    """Whether something other than what had been seen comes at one of these steps."""
    return any(o.seen and o.step in steps and o.event not in events for o in account)


@cache
def accounts_of(kb, test_id, facet, ion):
    """All that is published of an ion in a facet, alone and in its salts: the usual outcomes, and others."""
    subjects = (kb.ions[ion], *(salt for salt in kb.salts.values() if ion in salt.ions))
    facts = [subject.facts[test_id, facet] for subject in subjects if (test_id, facet) in subject.facts]
    return tuple(
        seen
        for fact in facts
        for seen in (fact.seen, *(other.seen for other in fact.also), *(other.seen for other in fact.when))
    )


@cache
def may_show(kb, test_id):
    """The ions of which something is ever seen in a test, by any account."""
    facets = kb.tests[test_id].facets if test_id in kb.tests else ()
    return frozenset(
        ion
        for ion in kb.ions
        for facet in facets
        for account in accounts_of(kb, test_id, facet, ion)
        if any(outcome.seen for outcome in account)
    )
