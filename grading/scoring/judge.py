"""What judging needs at hand: the knowledge base, the vocabulary, both schemes."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from examkit.chemistry.knowledge.model import Knowledge, Outcome
from examkit.chemistry.knowledge.work import Scheme
from grading.errors import GradingError
from grading.reading.drafts import GASEOUS
from grading.reading.lexicon import Lexicon, build
from grading.reading.observation import read_observation
from grading.scoring.mark_scheme import MarkScheme, mark_scheme

DRY = ("preliminary", "dry")
HOT = frozenset({"hot", "warm", "heat", "boil"})
NOT_ASKED = ("in light",)  # a step of no test: what happens then is beside the point
WITH_AID = ("blue glass",)  # what is looked through must be told: without it, it was looked at with the eye
FULL, NIL = Fraction(1), Fraction(0)


@dataclass(frozen=True)
class Award:
    """A share of the marks with its reason; it is not sure where `why` names what a person should see."""

    share: Fraction
    reason: str
    read: str = ""
    why: tuple[str, ...] = ()
    carried: bool = False
    counts: bool = True  # whether it is marked at all
    blank: bool = False  # whether nothing was written, or nothing that can be marked
    other: tuple = ()  # (share, reason) of the other reading, where it is not sure
    unsaid: bool = False  # whether all that it lacks was not recognised, and nothing was read as wrong

    @property
    def sure(self):
        """Whether no person need look."""
        return not self.why

    @property
    def readings(self):
        """The two readings of what is not sure, as suggested and otherwise, as plain data."""
        if self.sure:
            return []
        both = ((self.share, self.reason), *self.other)
        return [{"fraction": round(float(share), 4), "reason": reason} for share, reason in both]

    @property
    def fraction(self):
        """The share as a number from 0 to 1."""
        return round(float(self.share), 4)


@dataclass(frozen=True, eq=False)
class Judge:
    """Everything that stays the same from record to record."""

    kb: Knowledge
    words: Lexicon
    plan: Scheme
    marking: MarkScheme

    def weight(self, part):
        """The weight of a part of an observation."""
        return self.marking.partial[part]

    def beside(self, also_seen):
        """What is seen beside an outcome, read from the words of the knowledge base."""
        return _beside(self.words, also_seen or "")

    def effects(self, also_seen):
        """What an outcome does to papers."""
        return tuple(finding for finding in self.beside(also_seen) if finding.effect)

    def events_of(self, test_id):
        """The events that the facets of a test speak of; all that are gases count as one."""
        return _events_of(self.kb, test_id)

    def facets_named(self, test_id, reagents):
        """The facets of a test that are named after one of these reagents."""
        test = self.kb.tests.get(test_id)
        return _facets_named(test, tuple(reagents)) if test else frozenset()

    def solid_when_hot(self, test_id):
        """Whether a test looks at what a solid or a liquid is like when hot, and not at a gas alone."""
        hot = [key for key in self.facets_of(test_id) if HOT & set(self.kb.tests[test_id].facets[key].steps)]
        flames = [
            key
            for key in self.facets_of(test_id)
            if any("hot" in s for s in self.kb.tests[test_id].facets[key].steps)
        ]
        usual = {event for key in (*hot, *flames) for event in usual_events(self.kb, test_id, key)}
        return bool(usual - set(GASEOUS))

    def looks_only(self, test_id):
        """Whether no solid comes to be in a test: the look of the salt, a flame, a bead."""
        test = self.kb.tests.get(test_id)
        return (
            test is not None
            and test.stage in DRY
            and not {"precipitate", "sublimate"} & self.events_of(test_id)
        )

    def looks_only_dry(self, test_id):
        """Whether a test heats a solid, so that nothing can dissolve there."""
        test = self.kb.tests.get(test_id)
        return test is not None and test.stage == "dry" and "dissolves" not in self.events_of(test_id)

    def hot_and_cold(self, test_id):
        """The colours that residues have hot and cold in a test, where these differ."""
        return _hot_and_cold(self.kb, test_id)

    def in_water(self, test_id):
        """Whether a solid that is seen in a test can only have fallen there."""
        test = self.kb.tests.get(test_id)
        return test is not None and test.stage not in DRY and "precipitate" in self.events_of(test_id)

    def facets_of(self, test_id):
        """The keys of the facets of a test."""
        return tuple(self.kb.tests[test_id].facets) if test_id in self.kb.tests else ()

    def has_step(self, test_id, step):
        """Whether a facet of a test has this step."""
        return any(step in self.kb.tests[test_id].facets[key].steps for key in self.facets_of(test_id))

    def is_confirmation(self, test_id):
        """Whether the facets of a test are alternatives of which one does."""
        test = self.kb.tests.get(test_id)
        return test is not None and test.choose == "one"

    def confirms(self, test_id, facet):
        """The ions that a facet of a confirmatory test confirms: those it names, or that answer in it."""
        return _confirms(self.kb, test_id, facet)

    def asked_elsewhere(self, test_id, finding):
        """Whether a finding speaks of a step or reagent that this test does not have, and others have."""
        test = self.kb.tests.get(test_id)
        return bool(test) and _foreign(self.words, test, finding.step, finding.reagents)

    def gases_added(self, test_id):
        """The formulas of the gases that are a reagent of a test."""
        test = self.kb.tests.get(test_id)
        keys = _used(test) if test else set()
        return {gas for gas in self.words.gases if self.words.gases[gas] & keys}

    def gases_of(self, test_id):
        """The formulas of the gases that a test looks for."""
        return _gases_of(self.kb, test_id)

    def stage_of(self, test_id):
        """The entry of the scheme for a test, or None."""
        return next((stage for stage in self.plan.stages if stage.test == test_id), None)

    def numerals_of(self, test_id):
        """The numerals that courses of analysis with plain numerals (no IIIA) give to the group of a test."""
        return _numerals(self.kb).get(test_id, ())

    def group(self, numeral):
        """The cations of a group; a numeral without its letter means all groups of that numeral."""
        found = [
            ion
            for name, group in self.plan.groups.items()
            if name == numeral or (name.startswith(numeral) and name[len(numeral) :] in ("A", "B"))
            for ion in group["cations"]
        ]
        return frozenset(found)


@cache
def _numerals(kb):
    """Test -> the numerals of its group in the schemes that part no group in two."""
    plain = [s for s in kb.schemes.values() if not any(name[-1:] in "AB" for name in s.groups)]
    found = {}
    for stage in (stage for scheme in plain for stage in scheme.stages if stage.group):
        found.setdefault(stage.test, {})[stage.group] = None
    return {test: tuple(groups) for test, groups in found.items()}


@cache
def _hot_and_cold(kb, test_id):
    pairs = set()
    for subject in (*kb.ions.values(), *kb.salts.values()):
        fact = subject.facts.get((test_id, "residue"))
        for seen in (fact.seen, *(other.seen for other in fact.also)) if fact else ():
            steps = {item.step: item.colours for item in seen}
            if {"hot", "cold"} <= set(steps) and steps["hot"] != steps["cold"]:
                pairs.add((steps["hot"], steps["cold"]))
    return frozenset(pairs)


@cache
def _beside(words, text):
    return read_observation(words, text).findings


@cache
def _confirms(kb, test_id, facet):
    named = kb.tests[test_id].facets[facet].of if facet in kb.tests[test_id].facets else ()
    answering = {key for key, ion in kb.ions.items() if (test_id, facet) in ion.facts}
    return frozenset(named or answering)


def _used(test):
    """The keys of what is added, passed or taken in a test."""
    return {operation.what for way in test.operations.values() for operation in way if operation.what}


@cache
def _facets_named(test, reagents):
    """Facet keys whose words are those of a reagent; "permanganate" for "potassium-permanganate"."""
    return frozenset(
        key for key in test.facets for reagent in reagents if _named_after(key.split("-"), reagent)
    )


def _named_after(parts, reagent):
    words = reagent.replace("(", " ").replace(")", " ").replace("-", " ").split()
    return bool(words) and words in (parts, parts[-len(words) :], parts[: len(words)])


@cache
def _foreign(words, test, step, reagents):
    """Whether it is a step of no test, or a reagent that neither a facet nor the procedure here has."""
    if step in NOT_ASKED:
        return True
    if not reagents or step in {s for facet in test.facets.values() for s in facet.steps}:
        return False
    here = {word for key in _used(test) for word in key.split("-")}
    here |= {word for key in test.facets for word in key.split("-")}
    here |= {word for facet in test.facets.values() for s in facet.steps for word in s.lower().split()}
    return not any(_words(words, reagent) & here for reagent in reagents)


def _words(words, reagent):
    """The words of a reagent's name, with those that the shelf has for it."""
    return set(reagent.lower().replace("(", " ").replace(")", " ").split()) | words.shelf.get(reagent, set())


@cache
def _events_of(kb, test_id):
    test = kb.tests.get(test_id)
    found = {event for key in (test.facets if test else ()) for event in usual_events(kb, test_id, key)}
    if "residue" in found:
        found.add("precipitate")  # "white deposit"
    return frozenset(found | (set(GASEOUS) if found & set(GASEOUS) else set()))


@cache
def _gases_of(kb, test_id):
    facts = (pair for ion in kb.ions.values() for pair in ion.facts.items())
    seen = (item for (test, _facet), fact in facts if test == test_id for item in fact.seen)
    return frozenset(item.gas for item in seen if item.gas)


@cache
def usual_events(kb, test_id, facet):
    """The events that ions and salts show in a facet, the most frequent first."""
    counted = {}
    for subject in (*kb.ions.values(), *kb.salts.values()):
        fact = subject.facts.get((test_id, facet))
        for item in fact.seen if fact else ():
            if item.seen:
                counted[item.event] = counted.get(item.event, 0) + 1
    return tuple(sorted(counted, key=counted.get, reverse=True))


@cache
def judge(kb, scheme_key, mark_scheme_key):
    """The judge for a scheme of analysis and a mark scheme.

    Raises GradingError for a scheme or mark scheme that is not there or cannot be used.
    """
    if scheme_key not in kb.schemes:
        raise GradingError(
            f"No scheme of analysis is called '{scheme_key}'. There are: {', '.join(kb.schemes)}."
        )
    return Judge(kb, build(kb), kb.schemes[scheme_key], mark_scheme(kb, mark_scheme_key))


def outcome(data):
    """An outcome of the frozen record as a record of the knowledge base."""
    return Outcome(
        event=data["event"],
        step=data.get("step") or "",
        colours=tuple(data.get("colours") or ()),
        texture=data.get("texture"),
        product=data.get("product"),
        gas=data.get("gas"),
        smell=data.get("smell"),
        also_seen=data.get("also_seen"),
    )


__all__ = ["FULL", "NIL", "Award", "Judge", "judge", "outcome"]
