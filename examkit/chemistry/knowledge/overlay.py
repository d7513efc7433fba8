"""A centre's own entries over the shipped base: salts, strengths, outcomes, schemes, mark schemes.

The shipped records are shared, never changed: a merged base is another Knowledge of another edition.
"""

import hashlib
import json
import pickle
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

from examkit.chemistry.errors import KnowledgeError
from examkit.chemistry.knowledge import model
from examkit.chemistry.knowledge.load import code_digest, keep, load

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


def load_with(path, cache_dir, entries):
    """The shipped base under `path` with a centre's own entries over it; a checked layer is kept.

    Raises KnowledgeError, which lists every problem of the entries.
    """
    return _load_with(path, cache_dir, tuple(sorted(entries)))


@lru_cache(maxsize=32)
def _load_with(path, cache_dir, entries):
    base = load(path, cache_dir)
    if not entries:
        return base
    edition = edition_of(base, entries)
    kept = Path(cache_dir) / f"own-{edition}-{code_digest()}.pickle" if cache_dir else None
    if kept and kept.exists():
        return laid_over(base, pickle.loads(kept.read_bytes()), edition)
    from examkit.chemistry.knowledge.own_entries import layer_of  # heavy, and not needed when it is kept

    layer, problems = layer_of(base, entries)
    if problems:
        raise KnowledgeError(problems)
    if kept:
        keep(kept, layer)
    return laid_over(base, layer, edition)


def fitting(path, cache_dir, entries):
    """The entries that work, and the problems of those that do not.

    A shipped base that is brought up to date may clash with an entry that was sound before: the others
    must go on working.
    """
    good, problems = tuple(entries), []
    while True:
        try:
            load_with(path, cache_dir, good)
        except KnowledgeError as error:
            problems += error.problems
            bad = {problem.entry for problem in error.problems}
            good = tuple(entry for entry in good if entry not in bad)
        else:
            return good, problems


def kept_schemes(base, entries):
    """`base` with those of these schemes that can still be run, for the exams that name them.

    Schemes that a newer base holds to be incomplete: their tests and ions are all known, so their sheets can
    be printed and their records marked.
    """
    from examkit.chemistry.knowledge.own_entries import layer_of  # heavy, and rarely needed

    schemes = tuple(entry for entry in entries if entry.kind == "scheme")
    if not schemes:
        return base
    layer, _problems = layer_of(base, schemes)
    runs = {key: scheme for key, scheme in layer.schemes.items() if _runs(base, scheme)}
    return laid_over(base, Layer(sources=layer.sources, schemes=runs), edition_of(base, schemes))


def _runs(base, scheme):
    ions = {*scheme.cations, *scheme.anions}
    ions |= {ion for stage in scheme.stages for pair in stage.becomes.items() for ion in pair}
    return ions <= set(base.ions) and {stage.test for stage in scheme.stages} <= set(base.tests)


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
            "density_g_mL", "made_from", "procedure", "shelf_life")
    hazards = {"signal": reagent.hazards.signal, "statements": list(reagent.hazards.statements),
               "pictograms": list(reagent.hazards.pictograms)}
    plain = {key: getattr(reagent, key) for key in same}
    return plain | {"hazards": hazards, "cautions": list(reagent.cautions)}
