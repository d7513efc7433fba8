"""What else was written beside what is expected: wrong, accepted, or beside the point."""

from grading.reading.drafts import GASEOUS
from grading.reading.findings import EFFECT, UNSTATED
from grading.reading.observation import denies
from grading.scoring.fit import COOLING, HEATING, colour_fit, event_fit, says_nothing, step_fit, uncoloured
from grading.scoring.judge import WITH_AID
from grading.scoring.parts import same_effect

BESIDE = ("melts", "crackling", "smell")  # seen by the way, whatever the test is about


def incidental(judge, test, finding, elsewhere):
    """Whether a finding is beside the point of this test: neither right nor wrong, and no part of its record.

    A reagent that is a gas; what other tests ask for (fusing, crackling), or the specimen shows there.
    """
    if finding.event in GASEOUS and finding.gas in judge.gases_added(test):
        return not (finding.colours or finding.smell)
    if finding.event in GASEOUS and finding.smells_of and not finding.colours:
        gases = {item.gas for item in elsewhere} - {None}
        if finding.smells_of in gases and finding.smells_of not in judge.gases_of(test):
            return True  # what the specimen smells of all the time
    if finding.implied and finding.step in HEATING and not judge.solid_when_hot(test):
        return True  # "turns black when warmed", where only a gas is looked for on warming
    if finding.event == "dissolves" and not finding.effect and judge.looks_only_dry(test):
        return True  # "it all disappears": it is gone, and is not in solution
    if judge.asked_elsewhere(test, finding) or (finding.implied and judge.events_of(test) == {"dissolves"}):
        return True
    if finding.negated or finding.effect or finding.event in judge.events_of(test) or finding.implied:
        return False
    if finding.event in BESIDE or not (finding.colours or finding.gas or finding.smell):
        return finding.event not in ("none", "dissolves", "product")
    return any(
        item.event == finding.event or {item.event, finding.event} <= set(GASEOUS)
        for item in elsewhere
        if item.seen
        and (not finding.gas or finding.gas == item.gas)
        and (not finding.colours or any(colour_fit(judge, c, item.colours) for c in finding.colours))
    )


def beyond_missed(extras, matches):
    """The extras without those in the place of a missed outcome: that has lost its share already."""
    missed, left = [m.outcome for m in matches if not m.share], []
    for finding in extras:
        place = next(
            (item for item in missed if step_fit(finding, item, [item.step for item in missed])), None
        )
        if place is None:
            left.append(finding)
        else:
            missed.remove(place)
    return left


def extras_of(judge, facets, unused, matches):
    """Findings that are wrong: nothing accepted looks like them, or they deny what was rightly said."""
    said = [f for f in unused if positive(judge, f) and not bare_gas(f)]
    wrong = [f for f in said if not accepted(judge, f, facets, False)]
    right = [finding for m in matches if m.share for finding in m.used]
    denied = [f for f in unused if any(denies(f, other) for other in right)]
    return [*wrong, *denied]


def competes(finding, matches):
    """Whether what is wrong is said in the place of something that is asked for.

    A gas that is only named, a sound, the liquid below a gas, a look through glass that tells nothing here:
    these stand beside what is asked for, and an examiner may pass them over.
    """
    asked = [m.outcome for m in matches]
    if finding.event in BESIDE:
        return any(item.event == finding.event for item in asked)
    if finding.step in WITH_AID:
        return any(item.step == finding.step for item in asked)
    if finding.event in GASEOUS and any(item.event == "sublimate" for item in asked):
        return False  # smoke: the sublimate on its way
    if finding.event in GASEOUS:
        return bool(finding.colours or finding.smell) or any(item.event in GASEOUS for item in asked)
    if finding.event == "precipitate" and finding.step in COOLING:
        return not all(item.event == "dissolves" for item in asked if item.seen)
    return not (finding.implied and all(item.event in GASEOUS for item in asked))


def bare_gas(finding):
    """Whether a gas is spoken of and nothing of what it is like."""
    return finding.event in GASEOUS and not (finding.colours or finding.gas or finding.smell)


def positive(judge, finding):
    """Whether a finding says that something was seen that can be right or wrong."""
    if finding.before or finding.event == "product" or says_nothing(judge, finding) or finding.negated:
        return False
    if finding.event in (UNSTATED, "gas") and not (finding.gas or finding.smells_of):
        return not (uncoloured(judge, finding) and (finding.colours or finding.event == UNSTATED))
    if finding.event == EFFECT and not (finding.colours or finding.texture):
        return False  # a paper that is only named
    return not (finding.event == "smell" and finding.smell == "none" and not finding.gas)


def accepted(judge, finding, facets, liquid_is_fine):
    """Whether something that is accepted here looks like this finding."""
    if (finding.liquid and finding.implied and liquid_is_fine) or _not_asked(finding, facets):
        return True
    if finding.effect and not any(
        facet.facet in GASEOUS for facet in facets
    ):  # litmus in a test that makes no gas
        return True
    return any(
        _looks_like(judge, finding, item, facet) or _beside(judge, finding, item)
        for facet in facets
        for item in facet.everything
    )


def _not_asked(finding, facets):
    """Whether it speaks of dissolving in something that this test does not try: neither right nor wrong."""
    said = {finding.step, *finding.reagents} - {""}
    return (
        finding.event == "dissolves"
        and bool(said)
        and not any(
            item.step in said or item.event == "dissolves" for facet in facets for item in facet.everything
        )
    )


def _beside(judge, finding, item):
    """Whether the knowledge base mentions such a thing beside an outcome."""
    return any(
        finding.event == other.event
        and (not finding.colours or set(finding.colours) & set(other.colours))
        and finding.gas in (None, other.gas)
        and finding.effect == other.effect
        for other in judge.beside(item.also_seen)
    )


def _looks_like(judge, finding, item, facet):
    if finding.effect and not item.event == "dissolves":
        effects = judge.effects(item.also_seen)
        named = [effect for effect in effects if effect.effect == finding.effect]
        return item.seen and (not named or any(same_effect(judge, finding, effect) for effect in named))
    steps = [other.step for other in facet.everything]
    if (
        not item.seen
        or event_fit(judge, finding, item, facet.facet) is None
        or step_fit(finding, item, steps) is None
    ):
        return False
    if finding.gas and item.gas and finding.gas != item.gas:
        return False
    if item.event in GASEOUS and finding.colours and uncoloured(judge, finding) and not item.colours:
        return True
    return not (finding.colours and item.colours) or any(
        colour_fit(judge, c, item.colours) for c in finding.colours
    )
