"""One observation against the expected line: facet by facet, with what else is accepted, and wrong extras."""

from dataclasses import replace
from fractions import Fraction
from functools import partial

from examkit.chemistry.colours import agree, canonical
from grading.reading.observation import contradictory
from grading.scoring.extras import accepted, beyond_missed, competes, extras_of, incidental, positive
from grading.scoring.fit import colour_fit, says_nothing
from grading.scoring.fitted import fitted
from grading.scoring.from_above import from_above
from grading.scoring.judge import FULL, NIL, WITH_AID, Award
from grading.scoring.parts import MISSING, PART, RIGHT, WRONG
from grading.scoring.required import expected_facets, look_of, required
from grading.scoring.two_looks import BESIDE_RIGHT, both_looks

NOT_ALL = "enough is told, but not all that is to be seen"
BOTH = "something and nothing are both recorded"
STEPS = 3  # from so many steps on, a confirmation is one though one of them was not told
LONG = 3  # so many colours for one thing are a list


def judge_observation(judge, line, reading, elsewhere=(), present=()):
    """The share of the observation's marks, with its reason.

    `elsewhere` holds what the specimen shows in its other tests: no fault where a candidate mentions it here.
    `present` are its ions: where several are confirmed in one line, each needs a confirmation.
    """
    asked = frozenset(item.get("facet", "") for item in line["seen"])
    reading = replace(reading, findings=fitted(judge, line["test"], reading.findings, asked))
    if reading.blank:
        return Award(NIL, "Nothing is written.", blank=True)
    facets = expected_facets(line, judge.marking.observation["also_accepted"])
    beside = partial(incidental, judge, line["test"], elsewhere=elsewhere)
    worthless = _worthless(judge, facets, reading, beside)
    if worthless:
        return worthless
    if reading.findings or reading.unread:
        award = _by_grammar(judge, line, facets, reading, beside, present)
    else:
        award = Award(NIL, "Nothing that was written says what was seen.", blank=True, unsaid=True)
    award = both_looks(award, from_above(judge, line, reading, facets, elsewhere, present), reading)
    return replace(award, read=reading.in_words())


def _worthless(judge, facets, reading, beside):
    """The award of what earns nothing whatever is expected, or None: words to the marker, both, lists."""
    rules, why = judge.marking.observation, tuple(reading.why_unsure())
    if reading.aimed:
        reason = f"“{reading.aimed[0]}” speaks to the marker; it earns nothing."
        return Award(NIL, reason, "", why, blank=True)
    both = next(contradictory(reading.findings), None)
    if both and rules["contradiction"] == "nothing":
        return Award(NIL, f"It {both}.", reading.in_words(), why)
    if rules["alternatives"] != "nothing":
        return None
    said = [finding for finding in reading.findings if not beside(finding)]
    listed = _listed(judge, said, {c for f in facets for item in f.everything for c in item.colours})
    if not (listed or reading.either):
        return None
    reason = f"A list of alternatives ({listed or reading.either}) says nothing of what was seen."
    return Award(NIL, reason, reading.in_words(), why, blank=True)


def _by_grammar(judge, line, facets, reading, beside, present):
    """The award of the findings as they were read."""
    best = _nothing(judge, line, facets, reading, beside)
    if not any(item.seen for facet in facets for item in facet.everything):
        return best
    shown = partial(_something, judge, line, facets, reading, beside, present)
    if not any(facet.positive for facet in facets):
        return best if best.share == FULL else max(best, shown(), key=lambda award: award.share)
    said = (finding for finding in reading.findings if not beside(finding))
    if line["margin"] == "marginal" and not any(positive(judge, f) for f in said):
        return max(best, shown(), key=lambda award: award.share)
    return shown()


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


def _nothing(judge, line, facets, reading, beside):
    """The award where nothing is to be seen: it must be said, and nothing else."""
    said = [finding for finding in reading.findings if says_nothing(judge, finding)]
    seen = [f for f in reading.findings if positive(judge, f) and not beside(f)]
    wrong = [f for f in seen if not accepted(judge, f, facets, True)]
    if wrong:
        names = "; ".join(finding.in_words() for finding in wrong)
        reason = f"Nothing is to be seen here, but the record says “{names}”."
        if not said:
            return Award(NIL, reason, unsaid=True)
        right = ((FULL, f"“{said[-1].in_words()}” is right."),)
        return Award(NIL, reason, why=(BOTH,), other=right, unsaid=True)
    if not said:
        return Award(NIL, "That there is no change is not recorded.", unsaid=True)
    told = [f for f in seen if not f.implied and f.event in judge.events_of(line["test"])]
    if told and not any(facet.positive for facet in facets):
        return Award(NIL, f"Nothing is said to be seen beside “{told[0].in_words()}”.", why=(BOTH,))
    reason = f"“{said[0].in_words()}” is right: {line['text']}."
    if line["margin"] == "marginal":
        reason = f"“{said[0].in_words()}” is accepted: the result is marginal."
    return Award(FULL, reason)


def _something(judge, line, facets, reading, beside, present):
    """The award where something is to be seen: by levels or by parts, as the mark scheme says."""
    matches = required(judge, line["test"], facets, reading.findings, present)
    enough = judge.marking.observation["enough"].get(line["test"], _enough(judge, line["test"], matches))
    all_of_them, fewer = matches, enough < len(matches) and _a_look_is_missing(matches)
    if enough < len(matches):
        wrong = [m for m in matches if m.state == WRONG and m.used]
        matches = sorted(matches, key=lambda m: (m.level, m.share), reverse=True)[:enough]
        matches += [m for m in wrong if m not in matches]
    used = {finding for m in matches for finding in m.used}
    unused = [f for f in reading.findings if f not in used and not beside(f)]
    extras = extras_of(judge, facets, unused, matches)
    aside = [finding for finding in extras if not competes(finding, matches)]
    extras = [finding for finding in extras if finding not in aside]
    by = _by_levels if judge.marking.observation["method"] == "levels" else _by_parts
    award = by(judge, matches, extras)
    if fewer and award.share == FULL and not judge.is_confirmation(line["test"]):
        reason = f"{award.reason} {_untold(all_of_them)}"
        award = replace(award, share=judge.marking.level("second_missing"), reason=reason, unsaid=True)
    elif fewer and award.share == FULL:
        half = ((judge.marking.level("second_missing"), "If all that is to be seen must be told."),)
        award = replace(award, why=(*award.why, NOT_ALL), other=award.other or half)
    if aside and award.share and judge.marking.observation["extra_finding"] == "cancels":
        names = "; ".join(finding.in_words() for finding in aside)
        nothing = ((NIL, f"“{names}” is wrong and cancels what is right."),)
        award = replace(award, why=(*award.why, BESIDE_RIGHT), other=award.other or nothing)
    return award


def _enough(judge, test, matches):
    """How many outcomes are enough: of a confirmation in three steps or more, all but one of those seen."""
    several = judge.is_confirmation(test) and sum(m.outcome.seen for m in matches) >= STEPS
    return len(matches) - 1 if several and all(m.outcome.seen for m in matches) else len(matches)


def _a_look_is_missing(matches):
    """Whether nothing at all is told of one of the looks: of the bead in one of the flames."""
    return bool(_missing_looks(matches))


def _missing_looks(matches):
    told = {look_of(m.outcome) or m.outcome.step for m in matches if m.state != MISSING}
    missing = (look_of(m.outcome) or m.outcome.step for m in matches if m.state == MISSING)
    return [look for look in dict.fromkeys(missing) if look not in told]


def _untold(matches):
    """Which looks nothing is told of, as a sentence."""
    return f"Nothing is told of: {', '.join(_missing_looks(matches))}."


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
    if share and any(m.state == MISSING and m.outcome.step in WITH_AID for m in matches):
        why, other = (*why, NOT_ALL), ((FULL, "If what the eye sees alone is enough."),)
    if extras and judge.marking.observation["extra_finding"] == "cancels" and said:
        why, other = ((BESIDE_RIGHT,), ((share, _sentence(notes)),)) if share else (why, ())
        share = NIL
        notes += [f"“{finding.in_words()}” is wrong and cancels what is right" for finding in extras]
    unsaid = not any(m.state == WRONG for m in matches)
    return Award(share, _sentence(notes), why=why, other=other, unsaid=unsaid)


def _weak_points(said, share):
    """What another examiner might see otherwise, where a part is given: a near colour, an event not named."""
    if not share or share == FULL:
        return ()
    return tuple(dict.fromkeys(weak for m in said for weak in m.weak))


def _by_parts(judge, matches, extras):
    """The mean over the required outcomes, less wrong extras."""
    share = sum((m.share for m in matches), NIL) / max(len(matches), 1)
    notes = [note for m in matches for note in m.notes]
    extras = beyond_missed(extras, matches)
    if extras and judge.marking.observation["extra_finding"] == "cancels" and share:
        share = max(share - Fraction(len(extras), len(matches)), NIL)
        notes += [f"“{finding.in_words()}” is wrong and cancels a right one" for finding in extras]
    return Award(share, _sentence(notes), unsaid=not any(m.state == WRONG for m in matches))


def _sentence(notes):
    said = "; ".join(dict.fromkeys(notes))
    return f"{said}."
