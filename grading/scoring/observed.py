"""One observation against the expected line: facet by facet, with what else is accepted, and wrong extras."""

from dataclasses import dataclass
from fractions import Fraction

from examkit.chemistry.knowledge.model import Outcome
from grading.reading.drafts import GASEOUS
from grading.reading.findings import UNSTATED
from grading.reading.observation import denies
from grading.scoring.fit import colour_fit, event_fit, says_nothing, step_fit, uncoloured
from grading.scoring.judge import FULL, NIL, Award, outcome
from grading.scoring.parts import match, same_effect

SILENT = Outcome("none")


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


def expected_facets(line):
    """The facets of a frozen line with their accepted outcomes, in order."""
    base, others = {}, {}
    for data in line["seen"]:
        base.setdefault(data.get("facet", ""), []).append(outcome(data))
    for other in line.get("also_accepted", ()):
        facet = other.get("facet") or next((d.get("facet", "") for d in other["seen"]), "")
        others.setdefault(facet, []).append(tuple(outcome(data) for data in other["seen"]))
    return tuple(Expected(f, (tuple(seen), *others.get(f, ()))) for f, seen in base.items())


def judge_observation(judge, line, reading):
    """The share of the observation's marks, with its reason."""
    if reading.blank:
        return Award(NIL, "Nothing is written.")
    facets = expected_facets(line)
    best = _nothing(judge, line, facets, reading)
    if any(facet.positive for facet in facets):
        shown = _something(judge, line, facets, reading)
        best = max(best, shown, key=lambda award: award.share) if line["margin"] == "marginal" else shown
    elif any(item.seen for facet in facets for item in facet.everything) and best.share < FULL:
        best = max(best, _something(judge, line, facets, reading), key=lambda award: award.share)
    why = tuple(reading.why_unsure())
    return Award(best.share, best.reason, reading.in_words(), why)


def _nothing(judge, line, facets, reading):
    """The award where nothing is to be seen: it must be said, and nothing else."""
    said = [finding for finding in reading.findings if says_nothing(judge, finding)]
    wrong = [f for f in reading.findings if _positive(judge, f) and not _accepted(judge, f, facets, True)]
    if wrong:
        names = "; ".join(finding.in_words() for finding in wrong)
        return Award(NIL, f"Nothing is to be seen here, but the record says “{names}”.")
    if not said:
        return Award(NIL, "That there is no change is not recorded.")
    reason = f"“{said[0].in_words()}” is right: {line['text']}."
    if line["margin"] == "marginal":
        reason = f"“{said[0].in_words()}” is accepted: the result is marginal."
    return Award(FULL, reason)


def _something(judge, line, facets, reading):
    """The award where something is to be seen: the mean over the required outcomes, less wrong extras."""
    matches = _required(judge, line["test"], facets, reading.findings)
    shares = [m.share for m in matches]
    enough = judge.marking.observation["enough"].get(line["test"], len(matches))
    if enough < len(matches):
        matches = sorted(matches, key=lambda m: m.share, reverse=True)[:enough]
        shares = [m.share for m in matches]
    share = sum(shares, NIL) / max(len(shares), 1)
    notes = [note for m in matches for note in m.notes]
    used = {finding for m in matches for finding in m.used}
    extras = _extras(judge, facets, [f for f in reading.findings if f not in used], matches)
    extras = _beyond_missed(extras, matches)
    if extras and judge.marking.observation["extra_finding"] == "cancels" and share:
        share = max(share - Fraction(len(extras), len(shares)), NIL)
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


def _required(judge, test, facets, findings):
    """The matches that count: of the facet that was best recorded, or of all facets that must be."""
    by_facet = [(f.facet, _best_option(judge, f, findings)) for f in facets if _shows(f, facets)]
    if test in judge.marking.observation["any_facet"]:
        return max((found for _facet, found in by_facet), key=_mean)
    optional = judge.marking.observation["optional_facets"].get(test, ())
    needed = [m for facet, found in by_facet if facet not in optional for m in found]
    extra = [m for facet, found in by_facet if facet in optional for m in found if m.share == FULL]
    return needed or extra or [m for _facet, found in by_facet for m in found]


def _shows(facet, facets):
    """Whether a facet counts: something is seen in it or, in a line without, may be."""
    if any(other.positive for other in facets):
        return facet.positive
    return any(item.seen for item in facet.everything)


def _mean(matches):
    return sum((m.share for m in matches), NIL) / len(matches) if matches else NIL


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
    if not any(
        m.share for m in needed if m.outcome.seen
    ):  # "no change" later says nothing if nothing was seen before
        needed = [m if m.outcome.seen else match(judge, m.outcome, (), steps, facet.facet) for m in needed]
    told_of = [m for m in needed if m.outcome.step not in rules["optional_steps"] or _step_named(m)]
    return told_of or needed


def _step_named(m):
    """Whether the candidate wrote of this very step."""
    return any(m.outcome.step in (finding.step, *finding.reagents) for finding in m.used)


def _steps_matter(option):
    """Whether it must be said when: not where the same is seen at every step."""
    sights = {(item.event, item.colours) for item in option}
    return len(sights) > 1


def _extras(judge, facets, unused, matches):
    """Findings that are wrong: nothing accepted looks like them, or they deny what was rightly said."""
    wrong = [f for f in unused if _positive(judge, f) and not _accepted(judge, f, facets, False)]
    right = [finding for m in matches if m.share for finding in m.used]
    denied = [f for f in unused if any(denies(f, other) for other in right)]
    return [*wrong, *denied]


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
