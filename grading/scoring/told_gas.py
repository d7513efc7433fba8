"""Which gas it is, by what it did to papers, solutions and splints."""

from functools import cache

from grading.scoring.fit import colours_fit


def gas_by_effects(judge, test_id, findings):
    """The one gas of a test that did all this, or nothing where none did or several may have."""
    effects = [f for f in findings if f.effect and not (f.negated or f.unchanged or f.gas)]
    told = [_gases(judge, test_id, finding) for finding in effects]
    told = [gases for gases in told if gases]
    common = frozenset.intersection(*told) if told else frozenset()
    return next(iter(common)) if len(common) == 1 else None


def gases_denied(judge, test_id, findings):
    """The gases of a test that would have done what did not happen: lime water that stayed clear."""
    denied = [f for f in findings if f.effect and (f.negated or f.unchanged)]
    return frozenset().union(*(_gases_with(judge, test_id, finding.effect) for finding in denied))


def _gases_with(judge, test_id, effect):
    told = ((gas, effects) for gas, effects in _known(judge, test_id))
    return frozenset(gas for gas, effects in told if any(e.effect == effect for e in effects))


def _gases(judge, test_id, finding):
    return frozenset(
        gas
        for gas, effects in _known(judge, test_id)
        if any(_same(judge, finding, effect) for effect in effects)
    )


def _same(judge, finding, effect):
    if finding.effect != effect.effect or (finding.texture or None) != (effect.texture or None):
        return False
    return not finding.colours or not effect.colours or colours_fit(judge, [finding], [effect.colours])


@cache
def _known(judge, test_id):
    """The gases of a test, each with what it does."""
    facts = (pair for ion in judge.kb.ions.values() for pair in ion.facts.items())
    seen = {item for (test, _facet), fact in facts if test == test_id for item in fact.seen}
    return tuple((item.gas, judge.effects(item.also_seen)) for item in seen if item.gas and item.also_seen)


@cache
def gases_of(kb, ion):
    """The gases that come of an ion, in whatever test; not the water of its salts."""
    facts = kb.ions[ion].facts.values()
    return frozenset(item.gas for fact in facts for item in fact.seen if item.gas) - {"H2O"}


@cache
def gases_of_ion(kb, test_id, ion):
    """The gases that come of an ion in a test."""
    facts = (fact for (test, _facet), fact in kb.ions[ion].facts.items() if test == test_id)
    return frozenset(item.gas for fact in facts for item in fact.seen if item.gas)


@cache
def gases_in(kb, test_id, facet):
    """The gases that come in a facet."""
    facts = (subject.facts.get((test_id, facet)) for subject in (*kb.ions.values(), *kb.salts.values()))
    return frozenset(item.gas for fact in facts if fact for item in fact.seen if item.gas)
