"""The walk through a scheme: which tests are done, on which portion or fraction, and what is seen."""

from dataclasses import dataclass
from functools import cached_property

from examkit.chemistry.colours import agree
from examkit.chemistry.knowledge.work import Stage, Test
from examkit.chemistry.sight import Portion, Sight, look
from examkit.chemistry.specimen import extracted, falling, left_behind, settling
from examkit.chemistry.tube import LEFT, after, split, start, taken


def titled(stage, test):
    """A test's title, behind the number that the scheme gives to its group."""
    if not stage.group or test.portion != "tube":
        return test.title
    return f"Group {stage.group}, {test.title[0].lower()}{test.title[1:]}"


@dataclass(frozen=True)
class Visit:
    """One test of the walk: done or not and why, on which portion, what was seen, and what came of it.

    `falls` are the cations that a reagent threw down, `opens` the names of the fractions that are new.
    """

    stage: Stage
    test: Test
    done: bool
    why_not: str = ""
    portion: Portion | None = None
    sights: tuple[Sight, ...] = ()
    falls: tuple[str, ...] = ()
    opens: tuple[str, ...] = ()

    @property
    def title(self):
        """The test's title, behind the number that the scheme gives to its group."""
        return titled(self.stage, self.test)


@dataclass(frozen=True, eq=False)
class Bench:
    """What a walk works on: the specimen, its salts that dissolve, and the scheme."""

    kb: object
    scheme: object
    specimen: object

    @property
    def dissolved(self):
        """The salts that come into the original solution."""
        return tuple(salt for salt in self.specimen.salts if salt.dissolves_in != "nothing")

    @cached_property
    def settled(self):
        """Cations that fall as the salts meet in water: {cation: whether all of it}."""
        return settling(self.kb, self.specimen)

    @property
    def in_solution(self):
        """The cations of the original solution."""
        return tuple(ion for ion in _of(self.dissolved, "cations") if not self.settled.get(ion))

    @property
    def in_residue(self):
        """The cations of what stays behind, or falls as the salts meet."""
        return left_behind(self.kb, self.specimen)

    @property
    def rack(self):
        """The vessels at the beginning."""
        return start(self.in_solution, _of(self.dissolved, "anions"), self.in_residue)

    @property
    def separated(self):
        """The cations that are had apart in the end, of the residue too if the scheme opens it."""
        opened = any(stage.takes == LEFT for stage in self.scheme.stages)
        return self.specimen.cations if opened else self.in_solution

    @property
    def single(self):
        """Whether the walk ends at the first group that answers."""
        return self.scheme.stops_at_first_group and len(self.specimen.cations) == 1


def walk(kb, scheme, specimen):
    """Every test of the scheme in order, as this specimen goes through it."""
    return tuple(steps(kb, scheme, specimen))


def steps(kb, scheme, specimen):
    """The same one by one, for those who stop on the way."""
    bench = Bench(kb, scheme, specimen)
    rack = bench.rack
    visits, ended = [], ""
    for stage in scheme.stages:
        test = kb.tests[stage.test]
        fraction = taken(rack, stage) if test.portion == "tube" else None
        why_not = _why_not(bench, stage, fraction, visits, ended)
        if why_not:
            visits.append(Visit(stage, test, False, why_not))
            yield visits[-1]
            continue
        portions = _portions(bench, stage, fraction)
        sights = tuple(sight for portion in portions for sight in look(kb, test, portion))
        before, rack = rack, after(kb, rack, stage, fraction) if fraction else rack
        came = _left(kb, stage, fraction, before, rack)
        visits.append(Visit(stage, test, True, "", portions[0], sights, *came))
        yield visits[-1]
        if bench.single and not ended and _answered(kb, stage, fraction, sights):
            ended = f"group {stage.group} has answered"


def _left(kb, stage, fraction, before, rack):
    """What a reagent threw down, and the names of the fractions that it left."""
    fell = split(kb, stage.test, fraction)[0].cations if fraction and not fraction.solid else ()
    return fell, tuple(name for name in rack if name not in before)


def _answered(kb, stage, fraction, sights):
    """Whether a group has answered: by its precipitate, or by anything where it has none."""
    if not stage.group:
        return False
    if fraction is None:
        return any(sight.positive for sight in sights)
    return bool(split(kb, stage.test, fraction)[0].cations)


def _of(salts, kind):
    return tuple(dict.fromkeys(ion for salt in salts for ion in getattr(salt, kind)))


def _why_not(bench, stage, fraction, visits, ended):
    """Why a test is not done in this walk, or an empty string."""
    test = bench.kb.tests[stage.test]
    danger = next((test.never[ion] for ion in _of(bench.specimen.salts, "ions") if ion in test.never), "")
    if danger:
        return f"never with this: {danger}"
    if test.portion == "tube" and ended:
        return f"not needed: {ended}, and the salt has one cation"
    if test.portion in ("tube", "original solution") and stage.takes != LEFT and not _opened(bench, stage):
        return "not possible: the salt does not dissolve, even in acid"
    if test.portion == "tube" and fraction is None:
        return f"not needed: there is no {stage.takes}"
    if test.applies and not stage.always and not _applies(bench.kb, test.applies, visits):
        return test.applies.get("otherwise", "does not apply")
    return ""


def _opened(bench, stage):
    """Whether there is anything in solution for a stage to work on."""
    return bool(bench.separated if stage.each else bench.in_solution)


def _portions(bench, stage, fraction):
    """What a test is done on; `each` means on every cation, separated from the others."""
    test, specimen = bench.kb.tests[stage.test], bench.specimen
    if stage.each:
        return tuple(Portion((ion,)) for ion in bench.separated)
    if test.portion == "solid":
        whole = specimen.cations + specimen.anions
        return (Portion(whole, specimen.salts, falling(bench.kb, specimen)),)
    if test.portion == "tube":
        return (Portion(fraction.ions, specimen.salts),)
    if test.portion == "extract":
        return (Portion(extracted(specimen), specimen.salts),)
    return (Portion(bench.in_solution + _of(bench.dissolved, "anions"), bench.dissolved),)


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
