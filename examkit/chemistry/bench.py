"""The walk through a scheme: which tests are done, on what, what stays in the tube from group to group."""

from dataclasses import dataclass

from examkit.chemistry.colours import agree
from examkit.chemistry.knowledge.model import Stage, Test
from examkit.chemistry.sight import Portion, Sight, look


@dataclass(frozen=True)
class Visit:
    """One test of the walk: done or not and why, on which portion, and what was seen."""

    stage: Stage
    test: Test
    done: bool
    why_not: str = ""
    portion: Portion | None = None
    sights: tuple[Sight, ...] = ()


@dataclass(frozen=True)
class Tube:
    """What is still dissolved on the way through the groups."""

    cations: tuple[str, ...]
    anions: tuple[str, ...]

    def changed(self, becomes):
        """The tube after a reagent that turns some ions into others (iron(II) into iron(III))."""
        return Tube(tuple(dict.fromkeys(becomes.get(ion, ion) for ion in self.cations)), self.anions)

    def without(self, gone):
        """The centrifugate: what precipitated is left behind."""
        return Tube(tuple(ion for ion in self.cations if ion not in gone), self.anions)

    @property
    def ions(self):
        """All ions in the tube."""
        return self.cations + self.anions


def walk(kb, scheme, specimen):
    """Every test of the scheme in order, as this specimen goes through it."""
    dissolved = [salt for salt in specimen.salts if salt.dissolves_in != "nothing"]
    tube = Tube(_of(dissolved, "cations"), _of(dissolved, "anions"))
    visits, ended = [], ""
    for stage in scheme.stages:
        test = kb.tests[stage.test]
        if test.portion == "tube":
            tube = tube.changed(stage.becomes)
        why_not = _why_not(kb, test, visits, ended, dissolved)
        if why_not:
            visits.append(Visit(stage, test, False, why_not))
            continue
        portion = _portion(test, specimen, tube, dissolved)
        sights = look(kb, test, portion)
        visits.append(Visit(stage, test, True, "", portion, sights))
        if stage.group:
            gone = precipitated(kb, test, tube) if test.portion == "tube" else ()
            answered = gone if test.portion == "tube" else any(sight.positive for sight in sights)
            tube = tube.without({ion for ion in gone if not _stays_in_part(kb, test, ion)})
            if answered and scheme.stops_at_first_group and len(specimen.cations) == 1:
                ended = f"group {stage.group} has answered"
    return tuple(visits)


def _of(salts, kind):
    return tuple(dict.fromkeys(ion for salt in salts for ion in getattr(salt, kind)))


def _why_not(kb, test, visits, ended, dissolved):
    """Why a test is not done in this walk, or an empty string."""
    if test.portion == "tube" and ended:
        return f"not needed: {ended}, and the salt has one cation"
    if test.portion in ("tube", "original solution") and not dissolved:
        return "not possible: the salt does not dissolve, even in acid"
    if test.applies and not _applies(kb, test.applies, visits):
        return test.applies.get("otherwise", "does not apply")
    return ""


def _portion(test, specimen, tube, dissolved):
    if test.portion == "solid":
        return Portion(specimen.cations + specimen.anions, specimen.salts)
    if test.portion == "tube":
        return Portion(tube.ions, specimen.salts)
    if test.portion == "extract":
        return Portion(specimen.anions, specimen.salts)
    return Portion(_of(dissolved, "cations") + _of(dissolved, "anions"), tuple(dissolved))


def _stays_in_part(kb, test, ion):
    return kb.ions[ion].facts[test.id, "tube"].leaves == "part"


def precipitated(kb, test, tube):
    """The cations of the tube that this group reagent throws down (sulfur from an oxidant is not one)."""
    return tuple(ion for ion in tube.cations if throws_down(kb.ions[ion].facts.get((test.id, "tube"))))


def throws_down(fact):
    """Whether a fact of a group test is that group's precipitate."""
    return fact is not None and any(o.event == "precipitate" and o.product != "S" for o in fact.seen)


def reached(kb, scheme, ion, test):
    """The form in which one cation alone reaches a test of the scheme in the tube, or None if it fell out."""
    tube = Tube((ion,), ())
    for stage in scheme.stages:
        this = kb.tests[stage.test]
        if this.portion != "tube":
            continue
        tube = tube.changed(stage.becomes)
        if this.id == test.id:
            return tube.cations[0] if tube.cations else None
        gone = precipitated(kb, this, tube)
        tube = tube.without({ion for ion in gone if not _stays_in_part(kb, this, ion)})
    return None


def _applies(kb, rule, visits):
    """Whether earlier lines fulfil the condition of a test (`any` or `all` of its clauses)."""
    clauses = rule.get("any") or rule.get("all") or []
    verdicts = [_holds(kb, clause, visits) for clause in clauses]
    return any(verdicts) if "any" in rule else all(verdicts)


def _holds(kb, clause, visits):
    """One clause: something about the outcomes of one facet of an earlier test."""
    sights = [
        s for v in visits if v.test.id == clause["test"] for s in v.sights if s.facet == clause["facet"]
    ]
    outcomes = [o for s in sights for o in s.seen]
    seen = [o for o in outcomes if o.seen]
    if "event" in clause:
        return not seen if clause["event"] == "none" else any(o.event == clause["event"] for o in seen)
    if "event_not" in clause:
        return (
            bool(seen) if clause["event_not"] == "none" else all(o.event != clause["event_not"] for o in seen)
        )
    if "colours" in clause:
        return any(_shade_of(kb, o, clause["colours"]) for o in seen)
    return any(o.colours and not _shade_of(kb, o, clause["colours_not"]) for o in seen)


def _shade_of(kb, outcome, words):
    return any(agree(kb, mine, word) for mine in outcome.colours[:1] for word in words)
