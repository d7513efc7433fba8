"""What the candidate's own words point to: findings as outcomes, run backwards."""

from dataclasses import dataclass, field, replace
from functools import cache

from examkit.chemistry.backwards import points_to, rules_out
from examkit.chemistry.colours import canonical, family
from examkit.chemistry.knowledge.model import Outcome
from grading.reading.drafts import GASEOUS
from grading.reading.findings import UNSTATED
from grading.scoring.fit import says_nothing, uncoloured
from grading.scoring.fitted import fitted
from grading.scoring.judge import outcome, usual_events
from grading.scoring.suits import suiting
from grading.scoring.told_gas import gas_by_effects, gases_denied, gases_in, gases_of_ion

BY_THE_WAY = ("melts", "crackling")


@dataclass(frozen=True)
class Own:
    """What an observation as written points to and rules out, and whether it was read for sure."""

    points_to: frozenset = field(default=frozenset())
    rules_out: frozenset = field(default=frozenset())
    sure: bool = True
    roughly: frozenset = field(default=frozenset())  # ions named that another shade points to
    suits: frozenset = field(default=frozenset())  # ions named that by some account show it

    @property
    def says(self):
        """Whether it tells anything about ions."""
        return bool(self.points_to or self.rules_out)


def own_inference(judge, test_id, reading, claims=None):
    """Points to and rules out, computed from what the candidate wrote; `sure` where every word was read.

    Where the `claims` of the inference name ions outside the syllabus, these are tried, too.
    """
    test = judge.kb.tests.get(test_id)
    if test is None or reading.blank:
        return Own()
    seen = _once(tuple(outcomes_of(judge, test, fitted(judge, test_id, reading.findings))))
    if not seen:
        return Own()
    pointed, ruled_out = _backwards(judge.kb, judge.plan, test, seen)
    denied = gases_denied(judge, test_id, reading.findings)
    if denied:
        never = {ion for ion in pointed if gases_of_ion(judge.kb, test_id, ion) <= denied}
        never = {ion for ion in never if gases_of_ion(judge.kb, test_id, ion)}
        pointed, ruled_out = tuple(ion for ion in pointed if ion not in never), (*ruled_out, *sorted(never))
    foreign = _foreign(judge, claims)
    if foreign:
        wide, out = _backwards(judge.kb, _with_all_ions(judge.kb, judge.plan), test, seen)
        pointed = (*pointed, *foreign.intersection(wide))
        ruled_out = (*ruled_out, *foreign.intersection(out))
    gases = {claim.gas for claim in (claims.claims if claims else ()) if claim.gas and not claim.absent}
    suits = suiting(judge, test, seen, _named(claims) - set(pointed), gases)
    return Own(
        frozenset(pointed),
        frozenset(ruled_out),
        reading.sure,
        _roughly(judge, test, seen, claims, pointed),
        suits,
    )


def _once(seen):
    """The outcomes without a solid that is only said to be still there, where nothing happened to it."""
    unmoved = {item[1].step for item in seen if isinstance(item, tuple) and not item[1].seen and item[1].step}
    return tuple(item for item in seen if not (isinstance(item, tuple) and _still_there(item[1], unmoved)))


def _still_there(outcome, unmoved):
    return outcome.event == "precipitate" and not outcome.colours and outcome.step in unmoved


def _roughly(judge, test, seen, claims, pointed):
    """The ions named that the observation would point to if its colours were only basic ones."""
    named = _named(claims)
    if not named - set(pointed):
        return frozenset()
    plain = tuple(
        (item[0], _plain(judge, item[1])) if isinstance(item, tuple) else _plain(judge, item) for item in seen
    )
    if plain == seen:
        return frozenset()
    return frozenset(named.intersection(_backwards(judge.kb, judge.plan, test, plain)[0]))


def _named(claims):
    """The ions that an inference names as there."""
    return {ion for claim in (claims.claims if claims else ()) if not claim.absent for ion in claim.ions}


def _plain(judge, item):
    """The outcome with the basic words of its colours."""
    basic = [w for word in item.colours for w in family(judge.kb, word) if not judge.kb.colours[w].under]
    return replace(item, colours=tuple(dict.fromkeys(basic)) or item.colours)


def ruled_out_beyond(judge, expected, claims):
    """The ions outside the syllabus, of those that the claims deny, that the expected line rules out."""
    test, foreign = judge.kb.tests.get(expected["test"]), _foreign(judge, claims)
    if test is None or not foreign:
        return frozenset()
    seen = tuple(
        (item.get("facet") or next(iter(test.facets)), outcome(item)) for item in expected["seen"]
    ) or (Outcome("none"),)
    return foreign.intersection(_backwards(judge.kb, _with_all_ions(judge.kb, judge.plan), test, seen)[1])


def _foreign(judge, claims):
    """The ions named that are not of the syllabus."""
    named = {ion for claim in (claims.claims if claims else ()) for ion in claim.ions}
    return named.difference(judge.plan.cations, judge.plan.anions)


@cache
def _with_all_ions(kb, plan):
    """The scheme with every ion of the knowledge base in its syllabus."""
    kinds = {
        kind: tuple(key for key, ion in kb.ions.items() if ion.kind == kind) for kind in ("cation", "anion")
    }
    return replace(plan, cations=kinds["cation"], anions=kinds["anion"])


@cache
def _backwards(kb, plan, test, seen):
    return points_to(kb, plan, test, seen), rules_out(kb, plan, test, seen)


def outcomes_of(judge, test, findings):
    """The findings as outcomes of the test, each with its facet where the words tell it."""
    events = judge.events_of(test.id)
    known = [
        f for f in findings if f.event in events or f.implied or says_nothing(judge, f) or f.event == "none"
    ]
    solid, gas = None, gas_by_effects(judge, test.id, findings)
    gaseous = [f for f in known or findings if f.event in GASEOUS and not f.negated]
    if gas and not gaseous:
        yield _facet_of_gas(judge, test, gas), Outcome("gas", gas=gas)
    for finding in known or findings:
        if gas and finding in gaseous and not (finding.gas or finding.colours):
            finding = replace(finding, gas=gas)
        if (
            finding.before
            or (finding.effect and not (finding.unchanged and finding.implied))
            or finding.event == "product"
            or judge.asked_elsewhere(test.id, finding)
        ):
            continue
        if _beside_the_point(judge, finding, findings, events):
            continue
        facet = facet_of(judge, test, finding)
        went = _lost_its_colour(judge, test, facet, finding) or _cleared(judge, test, facet, finding)
        if says_nothing(judge, finding) and not went:
            item = Outcome("none", step=_step(test, facet, finding))
            yield item if finding.event == "none" and not finding.step else (facet, item)
        else:
            item = _outcome(judge, test, facet, finding)
            if finding.implied and not finding.liquid and solid and item.event != "dissolves":
                item = replace(item, event=solid)  # "green ppt that goes brown"
            solid = item.event if item.event in ("precipitate", "residue") else solid
            yield facet, item


def _beside_the_point(judge, finding, findings, events):
    """What does not melt or crackle; a gas or smell of no kind beside a gas that is told apart."""
    if finding.negated and finding.event in BY_THE_WAY and finding.event not in events:
        return True
    if finding.event not in GASEOUS or finding.negated or finding.gas or finding.colours or finding.smells_of:
        return False
    return any(f is not finding and _told_apart(judge, f) for f in findings)


def _told_apart(judge, finding):
    """Whether a gas is named, or has a colour of its own."""
    if finding.event not in GASEOUS or finding.negated:
        return False
    return bool(finding.gas or finding.smells_of or finding.colours and not uncoloured(judge, finding))


def _outcome(judge, test, facet, finding):
    step = _step(test, facet, finding)
    usual = usual_events(judge.kb, test.id, facet)
    event = finding.event
    if event not in usual and (finding.implied or event in GASEOUS):
        event = _event_for(usual, event)
    of_liquid = event == UNSTATED or finding.liquid or _cleared(judge, test, facet, finding)
    if of_liquid and "dissolves" in _events_at(judge.kb, test.id, facet, step):
        event = "dissolves"  # "deep blue solution in excess", "clear in excess"
    colours = tuple(canonical(judge.kb, word) for word in finding.colours)
    return Outcome(event, step=step, colours=colours, gas=finding.gas or finding.smells_of)


def _event_for(usual, event):
    if event in GASEOUS:
        return next((name for name in GASEOUS if name in usual), event)
    return usual[0] if usual else event


def _step(test, facet, finding):
    steps = test.facets[facet].steps
    if finding.step in steps:
        return finding.step
    named = [reagent for reagent in finding.reagents if reagent in steps]
    return named[-1] if named else ""


def facet_of(judge, test, finding):
    """The facet that a finding speaks of: named, or the first whose usual events and steps fit."""
    keys = list(test.facets)
    if finding.facet in keys:
        return finding.facet
    named = [key for key in keys if key.replace("-", " ") in finding.reagents]
    named = named or [key for key in keys if key in judge.facets_named(test.id, finding.reagents)]
    alike = [key for key in keys if finding.texture and finding.texture in _textures(judge.kb, test.id, key)]
    if not named and finding.event in keys and not finding.negated:
        return finding.event
    if named or len(alike) == 1:
        return (named or alike)[0]
    fitting = [key for key in keys if _speaks_of(judge, test, key, finding)]
    if finding.event in GASEOUS and len(fitting) > 1:
        fitting.sort(key=lambda key: -_tells(judge, test, key, finding.gas))
    with_step = [key for key in fitting if finding.step in test.facets[key].steps]
    if not with_step and len(fitting) > 1 and finding.colours:
        mine = {canonical(judge.kb, word) for word in finding.colours}
        with_step = [key for key in fitting if mine & _colours(judge.kb, test.id, key)]
    return (with_step or fitting or keys)[0]


def _cleared(judge, test, facet, finding):
    """Whether a liquid is clear at a step at which something may have dissolved."""
    step = _step(test, facet, finding)
    clear = finding.colours and uncoloured(judge, finding) and finding.event == UNSTATED
    told = clear and not (finding.negated or finding.unchanged or finding.before)
    return bool(told and step) and "dissolves" in _events_at(judge.kb, test.id, facet, step)


@cache
def _events_at(kb, test_id, facet, step):
    """What is seen at a step of a facet."""
    facts = (subject.facts.get((test_id, facet)) for subject in (*kb.ions.values(), *kb.salts.values()))
    seen = (item for fact in facts if fact for item in fact.seen if step and item.step == step)
    return frozenset(item.event for item in seen if item.seen)


def _lost_its_colour(judge, test, facet, finding):
    """Whether a reagent's colour went, where that is what there is to see."""
    gone = finding.event == UNSTATED and finding.reagents and finding.colours and not finding.negated
    seen = _colours(judge.kb, test.id, facet)
    return (
        bool(gone)
        and uncoloured(judge, finding)
        and seen == {canonical(judge.kb, w) for w in finding.colours}
    )


def _tells(judge, test, key, gas):
    """How well a gas goes with a facet: where it is known, or else where most gases come."""
    gases = gases_in(judge.kb, test.id, key)
    return len(gases) if gas is None else gas in gases


def _facet_of_gas(judge, test, gas):
    """The first facet of a test in which a gas comes."""
    return next(key for key in test.facets if gas in gases_in(judge.kb, test.id, key))


@cache
def _colours(kb, test_id, facet):
    """The colours that are seen in a facet."""
    facts = (subject.facts.get((test_id, facet)) for subject in (*kb.ions.values(), *kb.salts.values()))
    return frozenset(
        canonical(kb, word) for fact in facts if fact for item in fact.seen for word in item.colours
    )


@cache
def _textures(kb, test_id, facet):
    """The words for how something looks in a facet ("ring where the liquids meet")."""
    facts = (subject.facts.get((test_id, facet)) for subject in (*kb.ions.values(), *kb.salts.values()))
    return frozenset(w for fact in facts if fact for item in fact.seen for w in (item.texture or "").split())


def _speaks_of(judge, test, key, finding):
    usual = usual_events(judge.kb, test.id, key)
    if finding.event in GASEOUS:
        return any(name in usual for name in GASEOUS)
    return finding.event in usual or (finding.event == UNSTATED and bool(set(usual) - set(GASEOUS)))
