"""`observe`: one test on one ion or salt, with what it points to and rules out."""

from dataclasses import dataclass

from examkit.chemistry.backwards import in_full, points_to, rules_out
from examkit.chemistry.describe import describe_test
from examkit.chemistry.errors import UnknownSubject
from examkit.chemistry.sight import Portion, look
from examkit.chemistry.specimen import Part, Specimen, extracted, find_ion, find_salt


@dataclass(frozen=True)
class Observation:
    """What a test shows, in words and as outcomes, with inferences and sources."""

    test: str
    subject: str
    text: str
    seen: tuple  # (facet key, Outcome) pairs
    also_accepted: tuple  # dicts: facet, text, seen, sources
    points_to: tuple[str, ...]
    rules_out: tuple[str, ...]
    equations: tuple[str, ...]
    margin: str
    remarks: tuple[str, ...]
    sources: tuple[str, ...]
    nothing_in: tuple[str, ...] = ()  # facets in which nothing is seen, where something is seen in another
    choose: str = "all"
    equilibria: tuple[dict, ...] = ()  # calculated results, where the specimen's amounts are known

    def as_json(self):
        """The document that `manage.py observe --json` prints."""
        return {
            "test": self.test,
            "subject": self.subject,
            "text": self.text,
            "seen": [
                outcome_json(outcome, facet) for facet, outcome in self.seen if facet not in self.nothing_in
            ],
            "nothing_in": list(self.nothing_in),
            "choose": self.choose,
            "also_accepted": list(self.also_accepted),
            "points_to": list(self.points_to),
            "rules_out": list(self.rules_out),
            "equations": list(self.equations),
            "margin": self.margin,
            "equilibria": list(self.equilibria),
            "remarks": list(self.remarks),
            "sources": list(self.sources),
        }


def observe(kb, test_id, subject, scheme_key="semimicro"):
    """What one ion or salt shows in one test of a scheme.

    Raises UnknownSubject for an unknown test, scheme, ion or salt.
    """
    scheme, test = find_scheme(kb, scheme_key), find_test(kb, test_id)
    portion, name = _portion(kb, scheme, test, subject)
    return observation(kb, scheme, test, name, look(kb, test, portion))


def observation(kb, scheme, test, subject, sights):
    """The sights of one test as an Observation."""
    seen = tuple((sight.facet, outcome) for sight in sights for outcome in sight.seen)
    own = _own_ions(kb, test, sights)
    backwards = in_full(test, seen)
    return Observation(
        test=test.id,
        subject=subject,
        text=describe_test(test, [(sight.facet, sight.seen) for sight in sights]),
        seen=seen,
        also_accepted=tuple(_alternative(kb, test, s, other) for s in sights for other in s.also),
        points_to=tuple(sorted({*points_to(kb, scheme, test, backwards), *own})),
        rules_out=tuple(
            ion for ion in rules_out(kb, scheme, test, backwards) if ion not in _ions_of(kb, sights)
        ),
        equations=_once(e for s in sights for e in s.equations),
        margin="marginal" if any(sight.margin == "marginal" for sight in sights) else "clear",
        remarks=_once(r for s in sights for r in s.remarks),
        sources=_once(cited(kb, c) for s in sights for c in s.sources),
        nothing_in=tuple(s.facet for s in sights if not s.positive)
        if any(s.positive for s in sights)
        else (),
        choose=test.choose,
    )


def _own_ions(kb, test, sights):
    """What is seen points to the ions that show it; a salt with its own say to those its facet names."""
    seen = {name for sight in sights if sight.positive for name in sight.by if name in kb.ions}
    return seen | {
        ion
        for sight in sights
        for salt in _salts_speaking(kb, sight)
        for ion in salt.ions
        if sight.positive
        and len(salt.cations) == 1
        and kb.ions[ion].kind in test.facets[sight.facet].points_at
    }


def _ions_of(kb, sights):
    """The ions, alone or in salts, that had a say: what they show together cannot rule them out."""
    alone = {name for sight in sights for name in sight.heard if name in kb.ions}
    return alone | {ion for sight in sights for salt in _salts_speaking(kb, sight) for ion in salt.ions}


def _salts_speaking(kb, sight):
    return [kb.salts[name] for name in sight.heard if name in kb.salts]


def _once(items):
    return list(dict.fromkeys(items))


def _alternative(kb, test, sight, other):
    return {
        "facet": sight.facet,
        "text": describe_test(test, [(sight.facet, other.seen)]),
        "seen": [outcome_json(outcome, sight.facet) for outcome in other.seen],
        "sources": [cited(kb, cite) for cite in other.sources],
    }


def outcome_json(outcome, facet):
    """An outcome as the JSON of design has it, with the facet it belongs to."""
    return {
        "facet": facet,
        "step": outcome.step,
        "event": outcome.event,
        "colours": list(outcome.colours),
        "texture": outcome.texture,
        "product": outcome.product,
        "gas": outcome.gas,
        "smell": outcome.smell,
        "also_seen": outcome.also_seen,
    }


def cited(kb, cite):
    """A citation as one line: the full source, the place in it, and whether it is said there."""
    source = kb.sources[cite.key].cite
    told = f"{source}, {cite.at}" if cite.at else source
    return f"{told} (inferred: not said there of this one)" if cite.inferred else told


def find_scheme(kb, key):
    """The scheme of this name."""
    return _find(kb.schemes, key, "scheme of analysis")


def find_test(kb, key):
    """The test of this id."""
    return _find(kb.tests, key, "test")


def _find(known, key, what):
    if key not in known:
        raise UnknownSubject(f"No {what} is called '{key}'. There are: {', '.join(known)}.")
    return known[key]


def _portion(kb, scheme, test, subject):
    """The subject as a portion: an ion alone, in the form it has at this test, or a salt."""
    try:
        ion = find_ion(kb, subject)
    except UnknownSubject as no_ion:
        try:
            salt = find_salt(kb, subject)
        except UnknownSubject as no_salt:
            raise UnknownSubject(f"{no_ion} {no_salt}") from None
        held = extracted(Specimen((Part(salt, 1.0),))) if test.portion == "extract" else salt.ions
        return Portion(tuple(_now(kb, scheme, test, ion) for ion in held), (salt,)), salt.formula
    return Portion((_now(kb, scheme, test, ion.formula),)), ion.formula


def _now(kb, scheme, test, ion):
    """The ion, or what the scheme has made of it by this test (iron(II) is iron(III) after the acid)."""
    if test.portion != "tube":
        return ion
    for stage in scheme.stages:
        ion = stage.becomes.get(ion, ion)
        if stage.test == test.id:
            break
    return ion
