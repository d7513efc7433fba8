"""What old stock shows: an ion that air has turned into another in part, seen beside what is left of it."""

from dataclasses import replace

from examkit.chemistry.bench import walk
from examkit.chemistry.describe import describe_test
from examkit.chemistry.observe import cited, outcome_json
from examkit.chemistry.specimen import Specimen


def aged(specimen):
    """The specimen with every salt that ages half gone over, or None where all of it keeps."""
    if not any(salt.ages for salt in specimen.salts):
        return None
    return Specimen(tuple(replace(part, salt=_half_gone(part.salt)) for part in specimen.parts))


def _half_gone(salt):
    """The salt with what it turns into beside each ion that does."""
    if not salt.ages:
        return salt
    return replace(
        salt,
        ions={**dict.fromkeys(salt.ages.values(), 1), **salt.ions},
        cations=_with(salt.cations, salt.ages),
        anions=_with(salt.anions, salt.ages),
    )


def _with(ions, ages):
    return (*ions, *(ages[ion] for ion in ions if ion in ages))


def old_stock(kb, scheme, specimen):
    """{test: sights} of the same walk with aged stock; empty where nothing of the specimen ages."""
    stale = aged(specimen)
    visits = walk(kb, scheme, stale) if stale else ()
    return {visit.test.id: visit.sights for visit in visits if visit.done}


def also_of_old_stock(kb, test, specimen, seen, sights):
    """What is accepted beside an observation, since the stock may be old: what it does not hold itself."""
    known = {(item["facet"], item["text"]) for item in seen.also_accepted}
    sources = [cited(kb, cite) for salt in specimen.salts if salt.ages for cite in salt.sources]
    more = []
    for facet, outcomes in _new(seen, sights):
        text = describe_test(test, [(facet, outcomes)])
        if (facet, text) not in known:
            known.add((facet, text))
            told = [outcome_json(outcome, facet) for outcome in outcomes]
            more.append({"facet": facet, "text": f"with old stock: {text}", "seen": told, "sources": sources})
    return tuple(more)


def _new(seen, sights):
    """(facet, outcomes) of old stock, hidden ones too, in facets that were looked at: what is seen anew."""
    held = {}
    for facet, outcome in seen.seen:
        held.setdefault(facet, set()).add(outcome)
    for sight in sights:
        for outcomes in (sight.seen, *(other.seen for other in sight.also)):
            anew = set(outcomes) - held.get(sight.facet, set(outcomes))
            if any(outcome.seen for outcome in outcomes) and anew:
                yield sight.facet, outcomes
