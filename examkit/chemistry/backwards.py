"""Backwards: what an observation points to and rules out, by running the whole syllabus forwards."""

from dataclasses import dataclass
from functools import cache, lru_cache

from examkit.chemistry.colours import any_agree
from examkit.chemistry.describe import SMELL_ADJECTIVES
from examkit.chemistry.knowledge.model import Alternative, Outcome
from examkit.chemistry.sight import Portion, see
from examkit.chemistry.tube import reached

NO_SMELL = {"none", "odourless"}
VOLATILE = ("gas", "effervescence", "smell", "sublimate")


@dataclass(frozen=True)
class Run:
    """One forward run: an ion alone (`salt` is empty) or a salt, its ions, and what was seen."""

    ions: tuple[str, ...]
    salt: str
    seen: tuple[Outcome, ...]
    certain: bool

    @property
    def alone(self):
        """Whether an ion was tried alone."""
        return not self.salt


@cache
def runs(kb, scheme, test, facet):
    """All forward runs over the syllabus for one facet of a test."""
    return tuple(_ions_alone(kb, scheme, test, facet)) + tuple(_salts(kb, scheme, test, facet))


def _ions_alone(kb, scheme, test, facet):
    """Each ion by itself; an anion that is a cation of the syllabus by then is tried as that alone."""
    changed = _become_cations(kb, scheme, test) if test.portion == "tube" else set()
    for ion in (*scheme.cations, *(ion for ion in scheme.anions if ion not in changed)):
        form = (
            reached(kb, scheme, ion, test)
            if test.portion == "tube" and kb.ions[ion].kind == "cation"
            else ion
        )
        if form is None or kb.ions[form].kind not in test.kinds:
            continue
        sight = see(kb, test, facet, Portion((form,)))
        if sight is not None:
            yield _run((ion,), "", sight)


def _become_cations(kb, scheme, test):
    """Anions that are cations of the syllabus when a test is reached: arsenate is arsenic(V) in the acid."""
    tests = [stage.test for stage in scheme.stages]
    before = scheme.stages[: tests.index(test.id) + 1] if test.id in tests else ()
    return {
        ion
        for stage in before
        for ion, form in stage.becomes.items()
        if kb.ions[ion].kind == "anion" and form in scheme.cations
    }


def _salts(kb, scheme, test, facet):
    """Salts of the syllabus, one cation and one anion each, that have their own say in this facet."""
    syllabus = {*scheme.cations, *scheme.anions}
    for salt in kb.salts.values():
        simple = len(salt.cations) == len(salt.anions) == 1
        if simple and (test.id, facet.key) in salt.facts and syllabus.issuperset(salt.ions):
            yield _run(
                tuple(salt.ions), salt.formula, see(kb, test, facet, Portion(tuple(salt.ions), (salt,)))
            )


def _run(ions, salt, sight):
    return Run(ions, salt, sight.seen, sight.margin == "clear")


def points_to(kb, scheme, test, seen):
    """The ions of the syllabus that would have shown what was seen; sorted, empty where nothing was seen.

    `seen` holds (facet key, Outcome) pairs or bare Outcomes, which then count where a facet has their step.
    One salt has one cation and one anion: what several facets say of a kind must hold together.
    """
    return _points_to(kb, scheme, test, tuple(seen))


@lru_cache(maxsize=20_000)
def _points_to(kb, scheme, test, seen):
    observed = by_facet(test, seen)
    fitting = _salts_that_fit(kb, scheme, test, observed)
    by_kind = {}
    for facet, outcomes in observed:
        pointed = set(_pointed(kb, scheme, test, facet, outcomes, fitting))
        for kind in ("cation", "anion"):
            ions = {ion for ion in pointed if kb.ions[ion].kind == kind}
            if ions:
                by_kind.setdefault(kind, []).append(ions)
    together = [_together(scheme, sets) for sets in by_kind.values()]
    return tuple(sorted(set().union(*together)))


def _together(scheme, sets):
    common = set.intersection(*sets)
    return common if common and scheme.specimen == "one" else set.union(*sets)


def rules_out(kb, scheme, test, seen):
    """The ions of the syllabus that would surely have shown something else than what was seen; sorted."""
    observed = by_facet(test, seen)
    out = {ion for facet, outcomes in observed for ion in _missed(kb, scheme, test, facet, outcomes)}
    return tuple(sorted(out.difference(points_to(kb, scheme, test, seen)))) if out else ()


def in_full(test, seen):
    """(facet key, Outcome) pairs with nothing seen filled in for the steps that are not mentioned."""
    filled = list(seen)
    for facet, outcomes in by_facet(test, seen):
        said = {outcome.step for outcome in outcomes}
        if len(facet.steps) > 1 and "" not in said:
            filled += [(facet.key, Outcome("none", step=step)) for step in facet.steps if step not in said]
    return tuple(filled)


def by_facet(test, seen):
    """The outcomes of an observation, sorted under the facets they belong to."""
    groups = {}
    for item in seen:
        key, outcome = item if isinstance(item, tuple) else (None, item)
        for facet in test.facets.values():
            if facet.key == key or (key is None and _may_belong(facet, outcome)):
                groups.setdefault(facet.key, []).append(outcome)
    return tuple((test.facets[key], tuple(outcomes)) for key, outcomes in groups.items())


def _may_belong(facet, outcome):
    return not outcome.step or not facet.steps or outcome.step in facet.steps


def _pointed(kb, scheme, test, facet, outcomes, fitting):
    """The ions that show this when tried alone, and those of salts that show it, where salts are tried."""
    if not any(outcome.seen for outcome in outcomes):
        return
    for run in _fitting(kb, scheme, test, facet, outcomes):
        if run.alone:
            yield from run.ions
        elif run.salt in fitting:
            yield from (ion for ion in run.ions if kb.ions[ion].kind in facet.points_at)


@lru_cache(maxsize=20_000)
def _fitting(kb, scheme, test, facet, outcomes):
    """The forward runs that may have shown these outcomes: ions alone, and salts where salts are tried."""
    tried = (run for run in runs(kb, scheme, test, facet) if run.alone or facet.salts)
    mixed = scheme.specimen == "mixture"
    return tuple(run for run in tried if fits(kb, facet, outcomes, run.seen, mixed))


def _salts_that_fit(kb, scheme, test, observed):
    """Salts that fit every facet observed in which salts are tried: green and damp, not green or damp."""
    sets = [
        {run.salt for run in _fitting(kb, scheme, test, facet, outcomes) if run.salt}
        for facet, outcomes in observed
        if facet.salts and any(outcome.seen for outcome in outcomes)
    ]
    return set.intersection(*sets) if sets else set()


@lru_cache(maxsize=20_000)
def _missed(kb, scheme, test, facet, outcomes):
    """Ions that, tried alone, surely show something here, when neither they nor any salt of theirs fits.

    Only the main outcome counts: that another source saw nothing does not make the test worthless.
    In a mixture what is seen may hide something paler, which is then not ruled out.
    """
    mixed = scheme.specimen == "mixture"
    if mixed and facet.combine != "all" and any(outcome.seen for outcome in outcomes):
        return []
    all_runs, missed = runs(kb, scheme, test, facet), []
    for run in all_runs:
        if not run.alone or not run.certain or not any(outcome.seen for outcome in run.seen):
            continue
        ion = run.ions[0]
        mine = [run] + [other for other in all_runs if ion in other.ions and not other.alone]
        masked = _beside_others(kb, scheme, ion, test, facet)
        if mixed and any(not any(outcome.seen for outcome in other.seen) for other in masked):
            continue
        if not any(fits(kb, facet, outcomes, other.seen, mixed) for other in (*mine, *masked)):
            missed.append(ion)
    return missed


def _beside_others(kb, scheme, ion, test, facet):
    """What an ion shows instead where another of the syllabus is present (no gas from mercury's chloride)."""
    syllabus, fact = {*scheme.cations, *scheme.anions}, kb.ions[ion].facts.get((test.id, facet.key))
    if scheme.specimen != "mixture":  # one salt: only an ion of the other kind can be beside it
        syllabus = {other for other in syllabus if kb.ions[other].kind != kb.ions[ion].kind}
    masked = [other for other in (fact.when if fact else ()) if syllabus.intersection(other.beside)]
    if test.portion == "extract" and not facet.portion and ion in _may_stay_shut(kb, scheme):
        return [*masked, Alternative((Outcome("none"),), ())]
    return masked


@cache
def _may_stay_shut(kb, scheme):
    """The anions of which sodium carbonate may bring nothing into solution, in some salt of the syllabus."""
    syllabus = {*scheme.cations, *scheme.anions}
    closed = (s for s in kb.salts.values() if s.extract == "none" and syllabus.issuperset(s.ions))
    return {ion for salt in closed for ion in salt.anions}


def fits(kb, facet, observed, shown, mixed=False):
    """Whether what was observed may be what a run showed: step by step, with the words of the observation.

    `mixed`: several ions may be seen beside each other, of which a run need show but one.
    """
    if facet.sorts and _steps_told(facet, observed):
        mine, theirs = sort_of(kb, facet, observed), sort_of(kb, facet, shown)
        return mine is not None and mine == theirs
    steps = dict.fromkeys(outcome.step for outcome in observed)
    if not any(outcome.seen for outcome in observed):
        return not any(o.seen for o in shown if not any(steps) or len(facet.steps) < 2 or o.step in steps)
    if (mixed and facet.combine in ("all", "strongest")) or _side_by_side(facet, observed):
        return any(_shows(kb, facet, outcome, shown) for outcome in observed if outcome.seen)
    return all(_shows(kb, facet, outcome, shown) for outcome in observed)


def _side_by_side(facet, observed):
    """Whether these are things seen beside each other (two gases), not one after the other in a tube."""
    return facet.combine == "all" and all(o.event in VOLATILE for o in observed if o.seen)


def _shows(kb, facet, outcome, shown):
    return any(_same(kb, outcome, other) for other in _at(facet, shown, outcome.step))


def _at(facet, shown, step):
    """What a run showed at a step; without steps, anything; nothing said means nothing seen."""
    if not step or len(facet.steps) < 2:
        return shown
    return [outcome for outcome in shown if outcome.step == step] or [Outcome("none", step=step)]


def _same(kb, observed, shown):
    """Whether two outcomes agree in event, colour and gas, as far as both say."""
    if observed.event != shown.event:
        return False
    if observed.gas and shown.gas and observed.gas != shown.gas:
        return False
    if not _same_smell(observed.smell, shown.smell) or not _same_turbidity(observed, shown):
        return False
    return any_agree(kb, observed.colours, shown.colours)


def _same_smell(one, other):
    """Whether two smells may be the same: one is said within the other, or is only called unpleasant."""
    if not one or not other or {one, other} <= NO_SMELL:
        return True
    general = one in SMELL_ADJECTIVES or other in SMELL_ADJECTIVES
    return general or one in other or other in one


def _same_turbidity(one, other):
    """Sulfur from an oxidant is a turbidity; a precipitate that is not called one is not sulfur."""
    if (one.product == "S") == (other.product == "S"):
        return True
    plain = other if one.product == "S" else one
    return any(word in (plain.texture or "") for word in ("turbid", "milky"))


def _steps_told(facet, observed):
    """Whether the observation says enough to be sorted: the last step of the facet, or the only one."""
    seen = [outcome for outcome in observed if outcome.seen]
    last = facet.steps[-1] if facet.steps else ""
    return bool(seen) and any(outcome.step in (last, "") for outcome in seen)


def sort_of(kb, facet, outcomes):
    """The name of the first sort of the facet that these outcomes fit, or None where nothing is seen."""
    seen = [outcome for outcome in outcomes if outcome.seen]
    if not seen:
        return None
    for sort in facet.sorts:
        wanted = {step: words for step, words in sort.items() if step != "name"}
        if all(_step_has(kb, seen, step, words) for step, words in wanted.items()):
            return sort["name"]
    return None


def _step_has(kb, seen, step, words):
    here = [o for o in seen if step == "colours" or o.step == step]
    return any(o.colours and any_agree(kb, o.colours, words) for o in here)
