"""One expected outcome against the findings: which parts were said rightly, and what to tell."""

from dataclasses import dataclass, field
from fractions import Fraction

from examkit.chemistry.knowledge.model import Outcome
from grading.reading.drafts import GASEOUS
from grading.reading.findings import dissolving
from grading.reading.observation import read_observation
from grading.scoring.fit import NAMED_BY_TEST, colour_fit, event_fit, says_nothing, step_fit, uncoloured
from grading.scoring.judge import FULL, NIL

BURNING = "burning"  # what a gas does, as the words for deeds call it
MILKY = "milky"
UNTOLD = "nothing tells which gas it is"
UNCOLOURED = "the colour is not said"
UNTIMED = "it is not said when"
RIGHT, PART, WRONG, MISSING = "right", "part", "wrong", "missing"


@dataclass(frozen=True)
class Match:
    """How well an outcome was recorded: share by weight, remarks, the findings used, and its level.

    `level` is the share that the worst of its faults leaves; `state` says whether it is right, right in part,
    wrong, or not recorded.
    """

    share: Fraction
    notes: tuple[str, ...]
    outcome: Outcome
    used: tuple = field(default=(), hash=False)
    state: str = MISSING
    level: Fraction = NIL
    only_untimed: bool = False  # its one fault is that it is not said when
    weak: tuple[str, ...] = ()  # what another examiner might see otherwise

    @property
    def said(self):
        """Whether the candidate wrote anything that may be this outcome."""
        return bool(self.used)


def match(judge, outcome, findings, steps, facet):
    """The best that the findings say of this outcome; `steps` are those of all outcomes of its facet."""
    fitting = [f for f in findings if _comparable(judge, f, outcome, steps, facet)]
    if not fitting:
        return _unmatched(judge, outcome, findings, steps)
    if outcome.event in GASEOUS:
        fitting = _of_this_gas(judge, outcome, fitting)
        effects = [f for f in findings if f.effect and not f.negated and f.event not in GASEOUS]
        return _scored(judge, outcome, [*fitting, *effects], steps, facet)
    matches = [_scored(judge, outcome, [finding], steps, facet) for finding in fitting]
    return max(matches, key=lambda m: (m.level, m.share, m.used[0].step == outcome.step))


def _unmatched(judge, outcome, findings, steps):
    """An outcome that nothing written fits: it was denied, which is wrong, or not recorded."""
    for finding in findings:
        fits = step_fit(finding, outcome, steps)
        denied = finding.event == outcome.event == "dissolves" and fits is not None  # if not in what
        if outcome.seen and says_nothing(judge, finding) and (fits or denied):
            note = f"“{finding.in_words()}”, but expected: {told(outcome)}"
            return Match(NIL, (note,), outcome, (), WRONG)
    return Match(NIL, (f"{told(outcome)}: not recorded",), outcome)


def _of_this_gas(judge, outcome, fitting):
    """Without the findings that speak of another gas, where this one is told apart."""
    exact = [finding for finding in fitting if finding.gas and finding.gas == outcome.gas]
    unnamed = [finding for finding in fitting if not finding.gas]
    if exact and outcome.colours:
        unnamed = [f for f in unnamed if all(colour_fit(judge, word, outcome.colours) for word in f.colours)]
    return [*exact, *unnamed] or fitting


def _comparable(judge, finding, outcome, steps, facet):
    if finding.gas and outcome.gas and finding.gas != outcome.gas and outcome.event in GASEOUS:
        return False  # another gas: right in its own place, or wrong beside this one
    return (
        event_fit(judge, finding, outcome, facet) is not None
        and step_fit(finding, outcome, steps) is not None
    )


def _scored(judge, outcome, findings, steps, facet):
    """The weighted share of the parts, with a remark for every part that was not right."""
    event = max(e for e in (event_fit(judge, f, outcome, facet) for f in findings) if e is not None)
    judged = {"event": (event, "" if event else f"does not say that it is a {outcome.event}")}
    judged["colours"] = _colours(judge, outcome, findings, facet)
    judged["step"] = _step(outcome, findings, steps)
    judged["texture"] = _texture(judge, outcome, findings)
    judged |= _identity(judge, outcome, findings)
    counted = {name: pair for name, pair in judged.items() if pair is not None and judge.weight(name)}
    share = _share(judge, counted)
    if _something_else(outcome, counted, findings):
        share = NIL
    state, level = _level(judge, outcome, counted, share)
    faults = "; ".join(note for _credit, note in counted.values() if note)
    said = " and ".join(dict.fromkeys(f.in_words() for f in findings))
    note = f"“{said}” is right" if share == FULL else f"“{said}” for {told(outcome)}: {faults}"
    faulty = [name for name, (credit, _note) in counted.items() if credit < FULL]
    weak = tuple(WEAK[name] for name in faulty if name in WEAK and (name != "colours" or counted[name][0]))
    return Match(share, (note,), outcome, tuple(findings), state, level, faulty == ["step"], weak)


def _share(judge, counted):
    """The weighted mean of the credits."""
    if all(credit is FULL for credit, _note in counted.values()):
        return FULL
    total = sum(judge.weight(name) for name in counted)
    return Fraction(sum(judge.weight(name) * credit for name, (credit, _note) in counted.items()), 1) / total


WEAK = {
    "colours": "the colour is only near",
    "event": "only a colour is named",
    "step": "it is not said when",
    "gas": "what tells the gas is general",
    "smell": "what tells the gas is general",
    "also_seen": "what tells the gas is general",
}
FAULTS = {  # what is not wrong but only left unsaid
    "event": "event_untold",
    "colours": "colour_missing",
    "step": "step_untold",
    "gas": "gas_untold",
    "smell": "gas_untold",
    "also_seen": "gas_untold",
}


def _level(judge, outcome, counted, share):
    """(state, share that is left) by the worst fault: something wrong leaves nothing."""
    if not share:
        return WRONG, NIL
    left = FULL
    for name, (credit, note) in counted.items():
        if credit == FULL:
            continue
        if not credit and name in FAULTS and (name in ("event", "step") or note in (UNTOLD, UNCOLOURED)):
            left = min(left, judge.marking.level(FAULTS[name]))
        elif not credit:
            return WRONG, NIL
        elif name == "colours":
            left = min(left, credit)
    return (RIGHT if left == FULL else PART), left


def _something_else(outcome, counted, findings):
    """Whether what was written is another sight: another flame, another gas, a colour of nothing."""
    wrong = {
        name for name, (credit, note) in counted.items() if not credit and note not in (UNTOLD, UNCOLOURED)
    }
    if outcome.event in GASEOUS:
        return bool(wrong & {"colours", "gas", "smell"})
    unnamed = outcome.event in NAMED_BY_TEST or all(finding.implied for finding in findings)
    return "colours" in wrong and (unnamed or "event" in wrong)


def _colours(judge, outcome, findings, facet):
    """The colour: (share, remark), or None where no colour counts."""
    if not outcome.seen or not outcome.colours:
        return None
    coloured = [finding for finding in findings if finding.colours and not finding.effect]
    if not coloured:
        silent = all(word in judge.words.no_colour for word in outcome.colours)
        silent = silent and facet not in judge.marking.observation["colourless_counts"]
        return None if silent else (NIL, UNCOLOURED)
    return max((_one_colour(judge, outcome, finding) for finding in coloured), key=lambda pair: pair[0])


def _one_colour(judge, outcome, finding):
    shares = [_shade(judge, outcome, word) for word in finding.colours]
    wanted, said = " or ".join(outcome.colours), " or ".join(finding.colours)
    wrong = sum(1 for share in shares if not share)
    share = max(max(shares) - wrong, NIL)
    if share == FULL:
        return share, ""
    if wrong and max(shares):
        return share, f"“{said}” names a wrong colour beside {wanted}"
    return share, f"“{said}” is the general word for {wanted}" if share else f"“{said}” is not {wanted}"


def _step(outcome, findings, steps):
    """The step counts where the facet has several."""
    if len(set(steps)) < 2 or not outcome.step:
        return None
    fits = [step_fit(finding, outcome, steps) for finding in findings]
    return (FULL, "") if any(fits) else (NIL, f"{UNTIMED} ({outcome.step})")


def _shade(judge, outcome, word):
    """How well a colour fits: of a gas without colour that is seen as mist, that of mist does, too."""
    bare = outcome.event in GASEOUS and all(colour in judge.words.no_colour for colour in outcome.colours)
    return FULL if bare and word in judge.words.deeds[MILKY] else colour_fit(judge, word, outcome.colours)


def _texture(judge, outcome, findings):
    if not outcome.texture or not any(finding.texture for finding in findings):
        return None
    wanted = {f.texture for f in read_observation(judge.words, outcome.texture).findings} | {outcome.texture}
    right = any(finding.texture in wanted for finding in findings)
    return (FULL, "") if right else (NIL, f"it is {outcome.texture}")


def _identity(judge, outcome, findings):
    """Gas, smell and what it did to a paper: one rightly said is enough; one wrongly said counts."""
    judged = {
        "gas": _gas(outcome, findings),
        "smell": _smell(judge, outcome, findings),
        "also_seen": _also_seen(judge, outcome, findings),
    }
    said = {name: pair for name, pair in judged.items() if pair is not None and pair[0] is not None}
    if said and (not outcome.gas or outcome.event not in GASEOUS or not _general(judge, said, findings)):
        return said
    if said and any(credit < FULL for credit, _note in said.values()):
        return said
    expected = [name for name, pair in judged.items() if pair is not None and judge.weight(name)]
    others = outcome.colours and not all(word in judge.words.no_colour for word in outcome.colours)
    if not expected or others or outcome.event not in GASEOUS:  # its colour tells it
        return {}
    return {expected[0]: (NIL, UNTOLD)}


def _general(judge, said, findings):
    """Whether nothing tells the gas but what many gases share: a pungent smell, a reddened litmus paper."""
    if "gas" in said or any(finding.colours and not finding.effect for finding in findings):
        return False
    signs = {finding.smell for finding in findings if finding.smell} | {
        f.effect for f in findings if f.effect
    }
    return bool(signs) and signs <= judge.words.general


def _gas(outcome, findings):
    """None: does not count. A share of None: expected, and not said."""
    if not outcome.gas:
        return None
    named = [finding.gas for finding in findings if finding.gas]
    if not named:
        return (FULL, "") if outcome.gas in {finding.smells_of for finding in findings} else (None, "")
    return (FULL, "") if outcome.gas in named else (NIL, f"the gas is {outcome.gas}, not {named[0]}")


def _smell(judge, outcome, findings):
    if not outcome.smell:
        return None
    said = [name for finding in findings for name in _smelled(finding)]
    if not said:
        return None, ""
    wanted = smells(judge, outcome.smell)
    return (FULL, "") if wanted & set(said) else (NIL, f"it smells {outcome.smell}, not {said[0]}")


def smells(judge, text):
    """The smells in the words of the knowledge base, as the reader names them."""
    read = read_observation(judge.words, f"smell of {text}").findings
    named = {name for finding in read for name in (*_smelled(finding), finding.smells_of) if name} | {text}
    return named | {judge.words.smells_under[name] for name in named if name in judge.words.smells_under}


def _smelled(finding):
    """What a finding says of the smell: its name, or the gas that it smells of."""
    gas = finding.gas if finding.event == "smell" else None
    return [name for name in (finding.smell, gas) if name]


def _also_seen(judge, outcome, findings):
    wanted = judge.effects(outcome.also_seen)
    burning = any(f.texture == BURNING or f.event == "flame" for f in judge.beside(outcome.also_seen))
    if burning and any(finding.texture == BURNING for finding in findings):
        return FULL, ""
    if not wanted:
        return None
    papers = {effect.effect for effect in wanted}
    said = [f for f in findings if f.effect in papers and (f.colours or f.texture or f.negated)]
    if not said:
        return None, ""
    right = all(any(same_effect(judge, f, effect) for effect in wanted) for f in said)
    return (FULL, "") if right else (NIL, f"“{said[0].in_words()}”, but {outcome.also_seen}")


def same_effect(judge, finding, effect):
    """Whether the same happened to the same paper."""
    if finding.effect != effect.effect or finding.negated != effect.negated:
        return False
    if finding.texture and effect.texture and finding.texture == effect.texture:
        return True
    if set(finding.colours) & set(judge.words.deeds.get(effect.texture, ())):
        return True  # "turned lime water white"
    if not effect.colours:
        return not finding.colours or uncoloured(judge, finding) or not effect.texture
    return any(_paper_colour(judge, word, effect.colours) for word in finding.colours)


def _paper_colour(judge, word, wanted):
    """Whether a paper took a colour that is wanted, or one mixed of it ("blue-black" for blue)."""
    parts = {judge.words.tints.get(part, part) for part in word.split()}
    return bool(colour_fit(judge, word, wanted)) or bool(parts & set(wanted))


def told(outcome):
    """An expected outcome in plain words."""
    if outcome.event == "dissolves":
        return dissolving(outcome.colours, outcome.step)
    words = [" or ".join(outcome.colours), outcome.event if outcome.seen else "no change"]
    said = " ".join(word for word in words if word)
    return f"{said} ({outcome.step})" if outcome.step and outcome.step != "reagent" else said
