"""What facts rest on: every citation of the base, whether its source is there, and counts of them."""

from collections import Counter

from examkit.chemistry.knowledge import constants
from examkit.chemistry.knowledge.citations import Citation

ELSEWHERE = ("hazards.yaml", "labels.yaml", "waste.yaml", "marking/")  # files whose shape is their reader's


def documents(by_folder, folder):
    """(document, shape) of every file of a folder."""
    return by_folder.get(folder, ())


def fact_blocks(by_folder):
    """(document, subject, path, test, facet, fact) of every fact of the ions and salts."""
    for document, ion in documents(by_folder, "ions/"):
        for test, facets in ion.tests.items():
            for facet, fact in facets.items():
                yield document, ion.ion, ("tests", test, facet), test, facet, fact
    for document, file in documents(by_folder, "salts/"):
        for index, salt in enumerate(file.salts):
            for test, facets in salt.tests.items():
                for facet, fact in facets.items():
                    yield document, salt.formula, ("salts", index, "tests", test, facet), test, facet, fact


def cited(by_folder):
    """(document, path, cites) of everything that cites."""
    for document, _subject, path, _test, _facet, fact in fact_blocks(by_folder):
        yield document, (*path, "source"), fact.source
        for kind in ("also", "when"):
            for index, other in enumerate(getattr(fact, kind)):
                yield document, (*path, kind, index, "source"), other.source
    for document, ion in documents(by_folder, "ions/"):
        for index, block in enumerate(ion.silent):
            yield document, ("silent", index, "source"), block.source
    for document, file in documents(by_folder, "salts/"):
        for index, salt in enumerate(file.salts):
            yield document, ("salts", index, "source"), salt.source
            yield document, ("salts", index, "hazard_source"), salt.hazard_source
    for folder in ("tests/", "reagents/", "schemes/"):
        for document, item in documents(by_folder, folder):
            yield document, ("source",), item.source
    for document, rows in documents(by_folder, "refusals.yaml"):
        for index, row in enumerate(rows):
            yield document, (index, "source"), row.source
    for document, rows in documents(by_folder, "words/colours.yaml"):
        for index, row in enumerate(rows):
            yield document, (index, "source"), row.source
    yield from constants.cited(documents(by_folder, "constants/"))
    for name in ELSEWHERE:
        for document, value in documents(by_folder, name):
            for path, cites in found_in(value if isinstance(value, dict) else value.model_dump()):
                yield document, path, cites


def found_in(value, path=()):
    """(path, citations) of every `source` in free data, wherever it stands."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        if key == "source" and isinstance(inner, list):
            yield (*path, key), [_citation(each) for each in inner]
        else:
            yield from found_in(inner, (*path, key))


def _citation(each):
    if isinstance(each, str):
        return Citation(each)
    return Citation(each["key"], str(each.get("at", "")), bool(each.get("inferred")))


def sources_exist(base, by_folder):
    """Every key cited stands in sources/, and what was read says where."""
    for document, path, cites in cited(by_folder):
        for cite in cites:
            source = base.sources.get(cite.key)
            if source is None:
                yield document.problem(
                    path, f"'{cite.key}' is no source.", "Add sources/<key>.yaml or mend the key."
                )
            elif source.kind == "read" and not cite.at:
                yield document.problem(
                    path, f"'{cite.key}' is cited without a place.", "Add `at`: page, section or table."
                )
            elif source.kind != "read" and cite.inferred:
                yield document.problem(
                    path, f"'{cite.key}' says nothing to infer from.", "Only what was read can be `inferred`."
                )


def counts(base, ions=None):
    """Facts by the best kind of source behind them: {"read": n, "common practice": n, "memory": n}.

    `ions`: of these ions alone.
    """
    tally = Counter({"read": 0, "common practice": 0, "memory": 0})
    for cites in all_citations(base) if ions is None else ion_citations(base, ions):
        kinds = {base.sources[cite.key].kind for cite in cites}
        tally[next(kind for kind in tally if kind in kinds)] += 1
    return dict(tally)


def inferred(base, ions=None):
    """How many of the facts read rest on inferences alone: no source says them of the ion itself."""
    told = 0
    for cites in all_citations(base) if ions is None else ion_citations(base, ions):
        read = [cite for cite in cites if base.sources[cite.key].kind == "read"]
        told += bool(read) and all(cite.inferred for cite in read)
    return told


def school_ions(base):
    """The ions of the schemes for one salt: those that schools teach."""
    taught = [scheme for scheme in base.schemes.values() if scheme.specimen == "one"]
    return dict.fromkeys(ion for scheme in taught for ion in (*scheme.cations, *scheme.anions))


def ion_citations(base, ions):
    """The citations of every fact about these ions; that one shows nothing in a test is a fact."""
    for ion in (base.ions[formula_] for formula_ in ions):
        for fact in ion.facts.values():
            yield fact.sources
            yield from (other.sources for other in (*fact.also, *fact.when))
        yield from ion.silent.values()


def all_citations(base):
    """The citations of every fact: of ions, salts, tests, reagents, schemes, refusals, swatches."""
    yield from ion_citations(base, base.ions)
    for salt in base.salts.values():
        yield salt.sources
        yield salt.hazard_sources
        yield from (fact.sources for fact in salt.facts.values() if fact.sources is not salt.sources)
    for kind in (base.tests, base.reagents, base.schemes):
        yield from (item.sources for item in kind.values())
    yield from (refusal.sources for refusal in base.refusals)
    yield from (colour.sources for colour in base.colours.values())
    yield from constants.citations(base.constants)
    yield from base.elsewhere


def unused_sources(base):
    """Keys of sources/ that no fact cites."""
    used = {cite.key for cites in all_citations(base) for cite in cites}
    return sorted(set(base.sources) - used - {"memory", "common-practice"})
