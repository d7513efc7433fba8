"""Which outcomes of an expected line must be recorded, and how each of them was."""

from dataclasses import dataclass, replace

from examkit.chemistry.knowledge.model import Outcome
from grading.reading.drafts import GASEOUS
from grading.scoring.fit import COOLING, HEATING, step_fit
from grading.scoring.judge import FULL, NIL, outcome
from grading.scoring.parts import MISSING, PART, RIGHT, WRONG, match

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
    def may_be_silent(self):
        """Whether a published source sees nothing here, though another sees something."""
        return self.positive and any(not any(item.seen for item in option) for option in self.options)

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


def required(judge, test, facets, findings, present):
    """The matches that count: of the facet that was best recorded, or of all facets that must be."""
    by_facet = [(f.facet, _best_option(judge, f, findings)) for f in facets if _shows(f, facets)]
    if test in judge.marking.observation["any_facet"]:
        named = {key for finding in findings for key in judge.facets_named(test, finding.reagents)}
        return _one_for_each(judge, test, by_facet, present, named)
    optional = judge.marking.observation["optional_facets"].get(test, ())
    by_facet = _without_unseen(_each_in_its_place(by_facet), {f.facet for f in facets if f.may_be_silent})
    if sum(judge.kb.ions[ion].kind == "anion" for ion in present) == 1:
        by_facet = [(facet, _one_gas(found)) for facet, found in by_facet]
    needed = [m for facet, found in by_facet if facet not in optional for m in found]
    extra = [m for facet, found in by_facet if facet in optional for m in found if m.state == RIGHT]
    return needed or extra or [m for _facet, found in by_facet for m in found]


def _without_unseen(by_facet, silent):
    """The facets without those in which a published source sees nothing and the candidate tells nothing."""
    told = [
        (key, found) for key, found in by_facet if key not in silent or any(m.state != MISSING for m in found)
    ]
    return told or by_facet


def _one_gas(matches):
    """Of several gases that one anion gives at a time, one rightly told is enough."""
    right = {m.outcome.step for m in matches if m.state == RIGHT and m.outcome.event in GASEOUS}
    return [
        m
        for m in matches
        if m.state in (RIGHT, WRONG) or m.outcome.event not in GASEOUS or m.outcome.step not in right
    ]


def _each_in_its_place(by_facet):
    """The matches without the faults of findings that are right in another facet: there they belong."""
    told = {f: key for key, found in by_facet for m in found if m.state == PART for f in m.used}
    told |= {f: key for key, found in by_facet for m in found if m.state == RIGHT for f in m.used}
    return [
        (key, [_elsewhere(m) if _belongs_elsewhere(m, key, told) else m for m in found])
        for key, found in by_facet
    ]


def _belongs_elsewhere(m, key, told):
    return m.state in (WRONG, PART) and bool(m.used) and all(told.get(f, key) != key for f in m.used)


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
    if all(m.level is FULL and m.share is FULL for m in matches):
        return FULL, FULL
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
    needed, seen_before, looks = [], False, {look_of(item) for item in option if item.seen}
    for item in option:
        told = item.step in rules["nothing_counts_at"] or look_of(item) not in looks
        if item.seen or (seen_before and told):
            needed.append(match(judge, item, findings, steps, facet.facet))
        seen_before = seen_before or item.seen
    needed = _same_throughout(needed, option, steps)
    if not any(
        m.share for m in needed if m.outcome.seen
    ):  # "no change" later says nothing if nothing was seen before
        needed = [m if m.outcome.seen else match(judge, m.outcome, (), steps, facet.facet) for m in needed]
    optional = {*rules["optional_steps"]}
    by_the_way = [m for m in needed if optional & {m.outcome.step, f"{facet.facet}.{m.outcome.step}"}]
    told_of = [m for m in needed if m not in by_the_way or (_step_named(m) and m.state != PART)]
    if any((m.state == RIGHT or m.only_untimed) and m.outcome.seen for m in by_the_way):
        # who tells what comes after need not say that nothing came between
        told_of = [m for m in told_of if m.outcome.seen or m.state != MISSING]
    return told_of or needed


def look_of(item):
    """The look that an outcome belongs to where a test has several: the flame of a bead, hot or cold."""
    look, _blank, warmth = item.step.partition(" ")
    return look if warmth in HEATING | COOLING else ""


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
