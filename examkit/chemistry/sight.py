"""Forwards: what a portion shows in a test, each ion's contribution seen together with the others'."""

from dataclasses import dataclass

from examkit.chemistry.colours import lightness, tinted
from examkit.chemistry.knowledge.citations import Citation
from examkit.chemistry.knowledge.model import Alternative, Outcome, Salt

LIQUIDS = ("dissolves", "melts")  # what is seen of them is one liquid, whatever it was made of


@dataclass(frozen=True)
class Portion:
    """What is in the tube or on the spoon: ions, and the salts they came in (none for ions tried alone)."""

    ions: tuple[str, ...]
    salts: tuple[Salt, ...] = ()
    falling: tuple[Salt, ...] = ()  # solids that come of them as they meet in water


@dataclass(frozen=True)
class Contribution:
    """What one ion or salt adds to a facet."""

    by: str
    seen: tuple[Outcome, ...]
    also: tuple[Alternative, ...] = ()
    equations: tuple[str, ...] = ()
    sources: tuple[Citation, ...] = ()
    margin: str = "clear"
    remark: str = ""
    along: tuple[str, ...] = ()  # other ions in what is seen (calcium, in what phosphate throws down)

    @property
    def positive(self):
        """Whether anything is seen."""
        return any(outcome.seen for outcome in self.seen)


@dataclass(frozen=True)
class Sight:
    """What is seen in one facet of a test, and what else is accepted there."""

    facet: str
    seen: tuple[Outcome, ...]
    also: tuple[Alternative, ...] = ()
    equations: tuple[str, ...] = ()
    sources: tuple[Citation, ...] = ()
    margin: str = "clear"
    remarks: tuple[str, ...] = ()
    by: tuple[str, ...] = ()  # ions and salts that are seen
    heard: tuple[str, ...] = ()  # all that had a say, seen or not

    @property
    def positive(self):
        """Whether anything is seen."""
        return any(outcome.seen for outcome in self.seen)


def look(kb, test, portion):
    """Everything that `portion` shows in `test`, facet by facet; confirmatory ones only where they apply."""
    tried = ((facet, _tried_on(facet, portion)) for facet in test.facets.values())
    sights = (
        see(kb, test, facet, here) for facet, here in tried if not facet.of or set(facet.of) & set(here.ions)
    )
    return tuple(sight for sight in sights if sight is not None)


def _tried_on(facet, portion):
    """The portion, or the dry salts that it was made from: chromyl chloride is not made of an extract."""
    if facet.portion != "solid" or not portion.salts:
        return portion
    return Portion(_once(ion for salt in portion.salts for ion in salt.ions), portion.salts)


def see(kb, test, facet, portion):
    """What `portion` shows in one facet, or None where the facet does not concern anything in it."""
    contributions = tuple(_contributions(kb, test, facet, portion))
    if not contributions and not facet.kinds:
        return None
    positive = tuple(c for c in contributions if c.positive)
    chosen = contributions if facet.fallen else _chosen(kb, facet, positive) or contributions
    seen = _together(kb, facet, chosen)
    hidden = tuple(c for c in positive if c not in chosen or _outshone(c, seen))
    return Sight(
        facet=facet.key,
        seen=seen,
        also=(*(a for c in chosen for a in c.also), *map(_as_alternative, hidden)),
        equations=_once(e for c in (*chosen, *hidden, *contributions) for e in c.equations),
        sources=_once(s for c in chosen for s in c.sources),
        margin="marginal" if any(c.margin == "marginal" for c in chosen) else "clear",
        remarks=_once(c.remark for c in chosen if c.remark),
        by=_once(name for c in chosen if c.positive for name in (c.by, *c.along)),
        heard=tuple(c.by for c in contributions),
    )


def _once(items):
    return tuple(dict.fromkeys(items))


def _contributions(kb, test, facet, portion):
    """One for each salt that has its own say here, and for each other ion that has a fact or is silent.

    An ion is silent for itself only where every salt that it came in speaks for it.
    """
    place = (test.id, facet.key)
    speaking = [salt for salt in portion.salts if place in salt.facts]
    for salt in (*speaking, *(portion.falling if facet.fallen else ())):
        yield _from_fact(salt.formula, salt.facts[place], portion)
    others = [salt for salt in portion.salts if place not in salt.facts]
    spoken = {ion for salt in speaking for ion in salt.ions} - {ion for salt in others for ion in salt.ions}
    for formula in portion.ions:
        ion = kb.ions[formula]
        fact = ion.facts.get(place)
        if formula in spoken:
            continue
        if fact:  # also of an anion in a test for cations: permanganate colours the bead
            came_in = [salt for salt in others if formula in salt.ions]
            yield from _once(_from_fact(formula, fact, portion, salt) for salt in came_in or [None])
        elif facet.kinds and ion.kind in facet.kinds:
            yield Contribution(formula, _nothing(facet), sources=_silence(ion, test.id, facet.key))


def _silence(ion, test, facet):
    return ion.silent.get((test, facet)) or ion.silent.get((test, ""), ())


def _from_fact(by, fact, portion, salt=None):
    """The fact as it stands, or the first of its `when` whose ions are there, or in the same salt."""
    for other in fact.when:
        along = tuple(ion for ion in other.present if ion in portion.ions)
        if along or _together_in(salt, other, portion):
            return Contribution(
                by, other.seen, (), other.equations, other.sources, remark=fact.remark, along=along
            )
    return Contribution(by, fact.seen, fact.also, fact.equations, fact.sources, fact.margin, fact.remark)


def _together_in(salt, other, portion):
    """Whether an ion came in a salt of one of those that `salt_of` names; alone, whether they meet."""
    return any(ion in (salt.ions if salt else portion.ions) for ion in other.salt_of)


def _nothing(facet):
    return tuple(Outcome("none", step=step) for step in facet.steps) or (Outcome("none"),)


def _chosen(kb, facet, positive):
    """The contributions that are seen: a dark precipitate hides a pale one, sodium hides other flames."""
    if len(positive) < 2 or facet.combine == "all":
        return positive
    if facet.combine == "first":
        return positive[:1]
    if facet.combine == "strongest":
        return tuple(c for c in positive if _outshines(c, positive))
    return tuple(_darkest_of_each_kind(kb, positive))


def _darkest_of_each_kind(kb, positive):
    """A precipitate hides another, not a coloured liquid, and that none; of equals the name decides."""
    kinds = {}
    for contribution in positive:
        event = next(outcome.event for outcome in contribution.seen if outcome.seen)
        kinds.setdefault(event, []).append(contribution)
    return (min(alike, key=lambda c: (_darkness(kb, c), c.by)) for alike in kinds.values())


def _outshines(contribution, all_of_them):
    """Whether at some step nothing stronger is seen beside it (potassium through blue glass)."""
    return any(
        outcome.seen and outcome.strength >= max(_strength(other, outcome.step) for other in all_of_them)
        for outcome in contribution.seen
    )


def _outshone(contribution, seen):
    """Whether something of it is not seen (lithium's red, which sodium covers)."""
    return any(outcome.seen and outcome not in seen for outcome in contribution.seen)


def _strength(contribution, step):
    return max((o.strength for o in contribution.seen if o.seen and o.step == step), default=0)


def _darkness(kb, contribution):
    words = [outcome.colours[0] for outcome in contribution.seen if outcome.seen and outcome.colours]
    return min((lightness(kb, word) for word in words), default=1.0)


def _together(kb, facet, contributions):
    """Outcomes in the order of the facet's steps, equal ones once; nothing seen is said once a step."""
    outcomes = _once(o for c in contributions for o in c.seen)
    steps = facet.steps or ("",)
    ordered = []
    for step in _once((*steps, *(o.step for o in outcomes))):
        here = [o for o in outcomes if o.step == step or (o.step == "" and len(steps) == 1)]
        seen = _liquids_in_one_tube(kb, [o for o in here if o.seen])
        if facet.combine == "strongest" and seen:
            seen = [o for o in seen if o.strength == max(other.strength for other in seen)]
        ordered += seen or [o for o in here if o.also_seen] or here[:1]
    return _once(ordered) or _nothing(facet)


def _liquids_in_one_tube(kb, outcomes):
    """The outcomes of a step; a liquid without colour is not seen beside a coloured one."""
    coloured = {o.event for o in outcomes if o.event in LIQUIDS and _coloured(kb, o)}
    return [o for o in outcomes if o.event not in coloured or _coloured(kb, o) or o.gas or o.also_seen]


def _coloured(kb, outcome):
    return bool(outcome.colours) and tinted(kb, outcome.colours[0])


def _as_alternative(contribution):
    return Alternative(contribution.seen, contribution.sources)
