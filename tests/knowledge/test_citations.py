"""What a citation claims: that its place says the thing, or that it is inferred there from silence."""

import dataclasses
import re

import pytest

from examkit.chemistry.knowledge.citations import Citation
from examkit.chemistry.knowledge.load import SHARED, load
from examkit.chemistry.knowledge.sources import all_citations, counts, inferred
from examkit.chemistry.observe import cited, observe

KB = load()
SEVERAL = "named with the place"  # a source that stands for many pages says so in these words
ADDRESS = re.compile(r"https?://|\w+\.(?:com|org|net|de|htm|html)\b")
SILENCE = (  # how a place speaks that lists what does answer, and leaves the ion out
    "not named", "no other anion", "no other ion", "not among", "no later group", "does not have it",
    "none of this cation", "in no later", "stands in the row of", "a dash",
)


@pytest.mark.parametrize("ion", KB.ions)
def test_what_a_list_is_silent_about_is_not_cited_as_if_it_said_so(ion):
    claims = [
        (place, cite.key, cite.at)
        for place, cites in KB.ions[ion].silent.items()
        for cite in cites
        if any(words in cite.at for words in SILENCE) and not cite.inferred
    ]

    assert claims == []


def test_an_inference_is_told_apart_where_sources_are_shown():
    said, silent = Citation("getman-1899", "p. 1"), Citation("getman-1899", "p. 1", inferred=True)

    assert cited(KB, said).endswith(", p. 1")
    assert cited(KB, silent) == f"{cited(KB, said)} (inferred: not said there of this one)"


def test_the_reader_of_an_observation_sees_which_source_is_silent():
    sources = observe(KB, "flame", "Ag+").sources

    assert sources
    assert all("(inferred: not said there of this one)" in source for source in sources)


def test_inferences_are_counted_apart_from_what_is_said():
    ion = dataclasses.replace(
        KB.ions["Ag+"],
        facts={},
        silent={
            ("flame", ""): (Citation("getman-1899", "p. 1", inferred=True), Citation("memory")),
            ("naoh", "gas"): (Citation("getman-1899", "p. 1", inferred=True), Citation("getman-1899", "p. 2")),
            ("group-4", ""): (Citation("common-practice"),),
        },
    )
    base = dataclasses.replace(KB, ions={"Ag+": ion})

    assert counts(base, ["Ag+"]) == {"read": 2, "common practice": 1, "memory": 0}
    assert inferred(base, ["Ag+"]) == 1


def test_less_than_a_third_of_the_facts_about_ions_is_inference():
    assert inferred(load(SHARED), KB.ions) * 3 < counts(KB, KB.ions)["read"]


def test_where_a_source_stands_for_many_pages_each_citation_names_its_own():
    many = {key for key, source in KB.sources.items() if SEVERAL in source.cite}
    cites = [cite for cites in all_citations(KB) for cite in cites if cite.key in many]

    assert {"substance-entries", "supplier-safety-data-sheets", "action-of-heat-reports"} <= many
    assert [cite for cite in cites if not ADDRESS.search(cite.at)] == []
