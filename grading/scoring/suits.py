"""Whether an ion may well have shown what was recorded, as far as it was: at any step, by any account."""

from dataclasses import replace
from functools import cache

from examkit.chemistry.backwards import by_facet, fits


def suiting(judge, test, seen, ions):
    """Those of the ions that by some account show what was recorded; the steps are passed over."""
    found = by_facet(test, seen)
    told = [(facet, outcomes) for facet, outcomes in found if any(o.seen for o in outcomes)]
    if not told or any(_contradict(outcomes) for _facet, outcomes in found):
        return frozenset()
    return frozenset(ion for ion in ions if all(_suits(judge, test, *pair, ion) for pair in found))


def _contradict(outcomes):
    """Whether something and nothing are recorded at the same step."""
    return bool({o.step for o in outcomes if o.seen and o.step} & {o.step for o in outcomes if not o.seen})


def _suits(judge, test, facet, outcomes, ion):
    seen = tuple(outcome for outcome in outcomes if outcome.seen)
    unmoved = {outcome.step for outcome in outcomes if not outcome.seen and outcome.step}
    events = {outcome.event for outcome in seen}
    whole = replace(facet, steps=(), sorts=())
    accounts = accounts_of(judge.kb, test.id, facet.key, ion)
    if not seen:
        return not accounts or any(not _moved(account, unmoved, events) for account in accounts)
    return any(
        fits(judge.kb, whole, seen, account) and not _moved(account, unmoved, events)
        for account in accounts
        if any(outcome.seen for outcome in account)
    )


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
