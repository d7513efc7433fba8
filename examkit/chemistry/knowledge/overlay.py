"""The shipped base with a centre's own entries over it, loaded, checked and kept."""

import pickle
from functools import lru_cache
from pathlib import Path

from examkit.chemistry.errors import KnowledgeError
from examkit.chemistry.knowledge.layers import Layer, edition_of, laid_over
from examkit.chemistry.knowledge.load import code_digest, keep, load


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
