"""One observation against the expected line: facet by facet, with what else is accepted, and wrong extras."""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from examkit.chemistry.colours import agree, canonical
from examkit.chemistry.knowledge.model import Outcome
from grading.reading.drafts import GASEOUS
from grading.reading.findings import UNSTATED
from grading.reading.observation import contradictory, denies
from grading.scoring.fit import HEATING, colour_fit, event_fit, says_nothing, step_fit, uncoloured
from grading.scoring.fitted import fitted
from grading.scoring.judge import FULL, NIL, Award, outcome
from grading.scoring.parts import MISSING, PART, RIGHT, WRONG, match, same_effect

SILENT = Outcome("none")
NOT_ALL = "enough is told, but not all that is to be seen"
BOTH = "something and nothing are both recorded"
BESIDE_RIGHT = "something that is not expected stands beside what is right"
LONG = 3  # so many colours for one thing are a list
BESIDE = ("melts", "crackling", "smell")  # seen by the way, whatever the test is about


@dataclass(frozen=True)
class Expected:
    """A facet of the expected line: what is seen, and every other list of outcomes that is accepted."""

    facet: str
    options: tuple[tuple[Outcome, ...], ...]

    @property
    def positive(self):
        """Whether anything is seen here."""
        return any(item.seen for item in self.options[0])

    @property
    def everything(self):
        """All outcomes that are accepted."""
        return tuple(item for option in self.options for item in option)


def expected_facets(line, also=True):
    """The facets of a frozen line with their outcomes, in order; `also` takes in other published ones."""
    base, others = {}, {}
    for data in line["seen"]:
        base.setdefault(data.get("facet", ""), []).append(outcome(data))
    for other in line.get("also_accepted", ()) if also else ():
        facet = other.get("facet") or next((d.get("facet", "") for d in other["seen"]), "")
        others.setdefault(facet, []).append(tuple(outcome(data) for data in other["seen"]))
    return tuple(Expected(f, (tuple(seen), *others.get(f, ()))) for f, seen in base.items())


def judge_observation(judge, line, reading, elsewhere=(), present=()):
    """The share of the observation's marks, with its reason.

    `elsewhere` holds what the specimen shows in its other tests: no fault where a candidate mentions it here.
    `present` are its ions: where several are confirmed in one line, each needs a confirmation.
    """
    asked = frozenset(item.get("facet", "") for item in line["seen"])
    reading = replace(reading, findings=fitted(judge, line["test"], reading.findings, asked))
    if reading.blank:
        return Award(NIL, "Nothing is written.", blank=True)
    why = tuple(reading.why_unsure())
    if reading.aimed:
        return Award(
            NIL, f"“{reading.aimed[0]}” speaks to the marker; it earns nothing.", "", why, blank=True
        )
    if not reading.findings and not reading.unread:
        return Award(NIL, "Nothing that was written says what was seen.", "", why, blank=True)
    rules = judge.marking.observation
    facets = expected_facets(line, rules["also_accepted"])
    both = next(contradictory(reading.findings), None)
    if both and rules["contradiction"] == "nothing":
        return Award(NIL, f"It {both}.", reading.in_words(), why)
    beside = partial(_incidental, judge, line["test"], elsewhere=elsewhere)
    said = [finding for finding in reading.findings if not beside(finding)]
    listed = _listed(judge, said, {c for f in facets for item in f.everything for c in item.colours})
    if listed and rules["alternatives"] == "nothing":
        reason = f"A list of alternatives ({listed}) says nothing of what was seen."
        return Award(NIL, reason, reading.in_words(), tuple(why), blank=True)
    best = _nothing(judge, line, facets, reading, beside)
    if any(facet.positive for facet in facets):
        shown = _something(judge, line, facets, reading, beside, present)
        either = line["margin"] == "marginal" and not any(_positive(judge, f) for f in said)
        best = max(best, shown, key=lambda award: award.share) if either else shown
    elif any(item.seen for facet in facets for item in facet.everything) and best.share < FULL:
        best = max(
            best, _something(judge, line, facets, reading, beside, present), key=lambda award: award.share
        )
    return Award(best.share, best.reason, reading.in_words(), (*why, *best.why), other=best.other)


def _listed(judge, findings, accepted):
    """Three colours or more for one thing, in words, or None: a list given to catch a mark."""
    for finding in findings:
        same = [f for f in findings if _same_thing(f, finding) and not (f.negated or f.before)]
        told = dict.fromkeys(canonical(judge.kb, word) for f in same for word in f.colours)
        apart = [w for w in told if not any(agree(judge.kb, w, other) for other in told if other != w)]
        if len(apart) >= LONG and not all(colour_fit(judge, word, accepted) for word in told):
            return " / ".join(told)
    return None


def _same_thing(one, other):
    return (one.event, one.step, one.reagents, one.facet, one.effect, one.gas) == (
        other.event,
        other.step,
        other.reagents,
        other.facet,
        other.effect,
        other.gas,
    )


def _incidental(judge, test, finding, elsewhere):
    """Whether a finding is beside the point of this test: neither right nor wrong, and no part of its record.

    A reagent that is a gas; what other tests ask for (fusing, crackling), or the specimen shows there.
    """
    if finding.event in GASEOUS and finding.gas in judge.gases_added(test):
        return not (finding.colours or finding.smell)
    if finding.implied and finding.step in HEATING and not judge.solid_when_hot(test):
        return True  # "turns black when warmed", where only a gas is looked for on warming
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


def _nothing(judge, line, facets, reading, beside):
    """The award where nothing is to be seen: it must be said, and nothing else."""
    said = [finding for finding in reading.findings if says_nothing(judge, finding)]
    seen = [f for f in reading.findings if _positive(judge, f) and not beside(f)]
    wrong = [f for f in seen if not _accepted(judge, f, facets, True)]
    if wrong:
        names = "; ".join(finding.in_words() for finding in wrong)
        reason = f"Nothing is to be seen here, but the record says “{names}”."
        if not said:
            return Award(NIL, reason)
        return Award(NIL, reason, why=(BOTH,), other=((FULL, f"“{said[-1].in_words()}” is right."),))
    if not said:
        return Award(NIL, "That there is no change is not recorded.")
    reason = f"“{said[0].in_words()}” is right: {line['text']}."
    if line["margin"] == "marginal":
        reason = f"“{said[0].in_words()}” is accepted: the result is marginal."
    return Award(FULL, reason)


def _something(judge, line, facets, reading, beside, present):
    """The award where something is to be seen: by levels or by parts, as the mark scheme says."""
    matches = _required(judge, line["test"], facets, reading.findings, present)
    enough = judge.marking.observation["enough"].get(line["test"], len(matches))
    fewer = enough < len(matches) and any(m.state == MISSING for m in matches)
    if enough < len(matches):
        wrong = [m for m in matches if m.state == WRONG and m.used]
        matches = sorted(matches, key=lambda m: (m.level, m.share), reverse=True)[:enough]
        matches += [m for m in wrong if m not in matches]
    used = {finding for m in matches for finding in m.used}
    unused = [f for f in reading.findings if f not in used and not beside(f)]
    extras = _extras(judge, facets, unused, matches)
    by = _by_levels if judge.marking.observation["method"] == "levels" else _by_parts
    award = by(judge, matches, extras)
    if fewer and award.share == FULL:
        half = ((judge.marking.level("second_missing"), "If all that is to be seen must be told."),)
        award = replace(award, why=(*award.why, NOT_ALL), other=award.other or half)
    return award


def _by_levels(judge, matches, extras):
    """Full, less by the worst of what was left unsaid, and nothing beside what is wrong."""
    notes = [note for m in matches for note in m.notes]
    said = [m for m in matches if m.state in (RIGHT, PART)]
    share = min((m.level for m in said), default=NIL)
    if any(m.state == MISSING for m in matches):
        share = min(share, judge.marking.level("second_missing"))
    if any(m.state == WRONG for m in matches):
        share = NIL
    why, other = _weak_points(said, share), ()
    if extras and judge.marking.observation["extra_finding"] == "cancels" and said:
        why, other = ((BESIDE_RIGHT,), ((share, _sentence(notes)),)) if share else (why, ())
        share = NIL
        notes += [f"“{finding.in_words()}” is wrong and cancels what is right" for finding in extras]
    return Award(share, _sentence(notes), why=why, other=other)


def _weak_points(said, share):
    """What another examiner might see otherwise, where a part is given: a near colour, an event not named."""
    if not share or share == FULL:
        return ()
    return tuple(dict.fromkeys(weak for m in said for weak in m.weak))


def _by_parts(judge, matches, extras):
    """The mean over the required outcomes, less wrong extras."""
    share = sum((m.share for m in matches), NIL) / max(len(matches), 1)
    notes = [note for m in matches for note in m.notes]
    extras = _beyond_missed(extras, matches)
    if extras and judge.marking.observation["extra_finding"] == "cancels" and share:
        share = max(share - Fraction(len(extras), len(matches)), NIL)
        notes += [f"“{finding.in_words()}” is wrong and cancels a right one" for finding in extras]
    return Award(share, _sentence(notes))


def _beyond_missed(extras, matches):
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


def _sentence(notes):
    said = "; ".join(dict.fromkeys(notes))
    return f"{said}."


def _required(judge, test, facets, findings, present):
    """The matches that count: of the facet that was best recorded, or of all facets that must be."""
    by_facet = [(f.facet, _best_option(judge, f, findings)) for f in facets if _shows(f, facets)]
    if test in judge.marking.observation["any_facet"]:
        named = {key for finding in findings for key in judge.facets_named(test, finding.reagents)}
        return _one_for_each(judge, test, by_facet, present, named)
    optional = judge.marking.observation["optional_facets"].get(test, ())
    by_facet = _each_in_its_place(by_facet)
    needed = [m for facet, found in by_facet if facet not in optional for m in found]
    extra = [m for facet, found in by_facet if facet in optional for m in found if m.state == RIGHT]
    return needed or extra or [m for _facet, found in by_facet for m in found]


def _each_in_its_place(by_facet):
    """The matches without the faults of findings that are right in another facet: there they belong."""
    told = {f: key for key, found in by_facet for m in found if m.state in (RIGHT, PART) for f in m.used}
    return [
        (key, [_elsewhere(m) if _belongs_elsewhere(m, key, told) else m for m in found])
        for key, found in by_facet
    ]


def _belongs_elsewhere(m, key, told):
    return m.state == WRONG and bool(m.used) and all(told.get(f, key) != key for f in m.used)


def _elsewhere(m):
    return replace(m, state=MISSING, share=NIL, level=NIL, used=())


def _one_for_each(judge, test, by_facet, present, named):
    """The best confirmation of each ion that is present; of all facets together where one ion is.

    Of the confirmations of an ion those count whose reagents are `named`, where any are.
    """
    of = {key: judge.confirms(test, key) & set(present) for key, _found in by_facet}
    ions = sorted(set().union(*of.values()))
    if len(ions) < 2:
        return _best_confirmation(by_facet, named)
    best = [(ion, _best_confirmation([(k, f) for k, f in by_facet if ion in of[k]], named)) for ion in ions]
    return [m for _ion, found in _each_in_its_place(best) for m in found]


def _best_confirmation(by_facet, named):
    found = [found for key, found in by_facet if key in named] or [found for _key, found in by_facet]
    return max(found, key=_mean, default=[])


def _shows(facet, facets):
    """Whether a facet counts: something is seen in it or, in a line without, may be."""
    if any(other.positive for other in facets):
        return facet.positive
    return any(item.seen for item in facet.everything)


def _mean(matches):
    """How well a list of outcomes was recorded; what is wrong counts against it."""
    if not matches:
        return (NIL, NIL)
    level = sum((m.level for m in matches), NIL) / len(matches)
    return level, sum((m.share for m in matches), NIL) / len(matches)


def _best_option(judge, facet, findings):
    """The matches of the accepted list of outcomes that fits best."""
    found = [_option(judge, facet, option, findings) for option in facet.options]
    return max((matches for matches in found if matches), key=_mean, default=[])


def _option(judge, facet, option, findings):
    rules = judge.marking.observation
    steps = [item.step for item in option] if _steps_matter(option) else []
    if not any(item.seen for item in option):
        return [match(judge, option[0] if option else SILENT, findings, [], facet.facet)]
    needed, seen_before = [], False
    for item in option:
        if item.seen or (seen_before and item.step in rules["nothing_counts_at"]):
            needed.append(match(judge, item, findings, steps, facet.facet))
        seen_before = seen_before or item.seen
    needed = _same_throughout(needed, option, steps)
    if not any(
        m.share for m in needed if m.outcome.seen
    ):  # "no change" later says nothing if nothing was seen before
        needed = [m if m.outcome.seen else match(judge, m.outcome, (), steps, facet.facet) for m in needed]
    told_of = [m for m in needed if m.outcome.step not in rules["optional_steps"] or _step_named(m)]
    return told_of or needed


def _same_throughout(matches, option, steps):
    """The matches when it need not be said at which of several steps, or is said of another step.

    A finding without a full step that is right at all steps that it may mean is right; one that is right
    at one of them says nothing wrong of the others.
    """
    told = {f for m in matches for f in m.used if m.state in (RIGHT, PART) and m.outcome.seen}
    result = []
    for m in matches:
        vague = bool(m.used) and all(not step_fit(f, m.outcome, steps) or not f.step for f in m.used)
        if m.state == WRONG and vague and told.issuperset(m.used) and len(matches) > 1:
            m = replace(m, state=MISSING, share=NIL, level=NIL, used=())
        elif (
            m.state == PART and m.only_untimed and all(_everywhere(f, matches, option, steps) for f in m.used)
        ):
            m = replace(m, state=RIGHT, level=FULL, share=FULL)
        result.append(m)
    return result


def _everywhere(finding, matches, option, steps):
    """Whether a finding is right at every step that its words may mean."""
    meant = [item for item in option if step_fit(finding, item, steps) is not None]
    right = [m.outcome for m in matches if finding in m.used and (m.state == RIGHT or m.only_untimed)]
    return all(item in right for item in meant)


def _step_named(m):
    """Whether the candidate wrote of this very step."""
    return any(m.outcome.step in (finding.step, *finding.reagents) for finding in m.used)


def _steps_matter(option):
    """Whether it must be said when: not where the same may be seen at every step."""
    if len({item.event for item in option}) > 1:
        return True
    colours = [set(item.colours) for item in option]
    return any(colours) and not set.intersection(*colours)


def _extras(judge, facets, unused, matches):
    """Findings that are wrong: nothing accepted looks like them, or they deny what was rightly said."""
    said = [f for f in unused if _positive(judge, f) and not bare_gas(f)]
    wrong = [f for f in said if not _accepted(judge, f, facets, False)]
    right = [finding for m in matches if m.share for finding in m.used]
    denied = [f for f in unused if any(denies(f, other) for other in right)]
    return [*wrong, *denied]


def bare_gas(finding):
    """Whether a gas is spoken of and nothing of what it is like."""
    return finding.event in GASEOUS and not (finding.colours or finding.gas or finding.smell)


def _positive(judge, finding):
    """Whether a finding says that something was seen that can be right or wrong."""
    if finding.before or finding.event == "product" or says_nothing(judge, finding) or finding.negated:
        return False
    if finding.event in (UNSTATED, "gas") and not (finding.gas or finding.smells_of):
        return not (uncoloured(judge, finding) and (finding.colours or finding.event == UNSTATED))
    return not (finding.event == "smell" and finding.smell in (None, "none") and not finding.gas)


def _accepted(judge, finding, facets, liquid_is_fine):
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
