"""What a centre's own entries are, and the records that they put over those of the base.

The shipped records are shared, never changed: a merged base is another Knowledge of another edition.
"""

import hashlib
import json
from dataclasses import dataclass, field, replace

from examkit.chemistry.knowledge import model

KINDS = ("salt", "reagent", "outcome", "scheme", "marking")
SOURCE_KIND = "own"  # of a source entry: the centre says so itself


@dataclass(frozen=True, order=True)
class Own:
    """One entry of a centre's own: its kind, its key there, and its content as canonical JSON."""

    kind: str
    key: str
    text: str

    @property
    def data(self):
        """The content, as plain data of one's own to work with."""
        return json.loads(self.text)

    @property
    def source(self):
        """The key under which the centre is cited for this entry."""
        return f"own: {self.kind} {self.key}"


def own(kind, key, data):
    """An entry from plain data; equal data make equal entries.

    >>> own("salt", "NaCl", {"b": 1, "a": 2}).text
    '{"a":2,"b":1}'
    """
    return Own(kind, key, json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False))


@dataclass(frozen=True)
class OwnProblem:
    """What is wrong with an entry of one's own: the entry, the place in it, what, and the way out."""

    entry: Own
    place: str
    what: str
    hint: str = ""

    @property
    def said(self):
        """What is wrong and the way out, for where the place is plain."""
        return f"{self.what} {self.hint}".strip()

    def __str__(self):
        return f"{self.place}: {self.said}" if self.place else self.said


@dataclass(frozen=True)
class Layer:
    """The records that a centre's own entries put over those of the base, by their keys."""

    sources: dict = field(default_factory=dict)
    ions: dict = field(default_factory=dict)
    salts: dict = field(default_factory=dict)
    reagents: dict = field(default_factory=dict)
    schemes: dict = field(default_factory=dict)
    mark_schemes: dict = field(default_factory=dict)


def laid_over(base, layer, edition):
    """The base of that edition in which the records of the layer stand over those of `base`."""
    return replace(
        base,
        edition=edition,
        sources=base.sources | layer.sources,
        ions=base.ions | layer.ions,
        salts=base.salts | layer.salts,
        reagents=base.reagents | layer.reagents,
        schemes=base.schemes | layer.schemes,
        mark_schemes=base.mark_schemes | layer.mark_schemes,
    )


def edition_of(base, entries):
    """The name of the merged edition: a digest over the shipped one and the entries, in whatever order.

    Without entries it is the shipped edition itself.
    """
    if not entries:
        return base.edition
    total = hashlib.sha256(base.edition.encode())
    for entry in sorted(entries):
        for part in (entry.kind, entry.key, entry.text):
            total.update(f"\0{len(part)}\0{part}".encode())
    return total.hexdigest()


def in_order(scheme):
    """The data of a scheme with groups in the order of its tests: stored keys have no order."""
    tests = scheme.get("tests") or ()
    group_at = {test.get("group"): place for place, test in reversed(list(enumerate(tests)))}
    groups = sorted((scheme.get("groups") or {}).items(), key=lambda each: group_at.get(each[0], len(tests)))
    return scheme | {"groups": dict(groups)}


def fact_at(base, subject, place):
    """What an ion or a salt shows at (test, facet): its fact; where it is silent, that as a fact; or None."""
    test = base.tests.get(place[0])
    facet = test and test.facets.get(place[1])
    if facet is None:
        return None
    if subject in base.salts:
        return base.salts[subject].facts.get(place)
    ion = base.ions.get(subject)
    if ion is None or place in ion.facts:
        return ion and ion.facts[place]
    silence = ion.silent.get(place) or ion.silent.get((place[0], ""))
    if not silence or ion.kind not in facet.kinds:
        return None
    nothing = tuple(model.Outcome("none", step=step) for step in facet.steps) or (model.Outcome("none"),)
    return model.Fact(subject, *place, nothing, silence)


def reagent_file(reagent):
    """A reagent's record as the plain data of its file, without its sources."""
    same = ("key", "name", "formula", "kind", "strength_mol_L", "percent_w_w", "percent_w_v",
            "density_g_mL", "made_from", "procedure", "shelf_life", "medium", "check")
    hazards = {"signal": reagent.hazards.signal, "statements": list(reagent.hazards.statements),
               "pictograms": list(reagent.hazards.pictograms)}
    plain = {key: getattr(reagent, key) for key in same}
    return plain | {"hazards": hazards, "cautions": list(reagent.cautions), "told_as": list(reagent.told_as)}
