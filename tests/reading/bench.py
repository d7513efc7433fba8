"""What the tests of reading and scoring share: the knowledge base, its lexicon, a judge, and short helpers."""

from dataclasses import replace
from functools import cache

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.observe import observe
from examkit.chemistry.specimen import read_specimen
from grading.reading.inference import read_inference
from grading.reading.lexicon import build
from grading.reading.observation import read_observation
from grading.scoring.judge import judge
from grading.scoring.mark_scheme import from_data
from grading.scoring.observed import judge_observation


@cache
def base():
    """The knowledge base of the repository."""
    return load()


@cache
def words():
    """Its lexicon."""
    return build(base())


@cache
def bench(mark_scheme="common"):
    """A judge for the shipped scheme of analysis."""
    return judge(base(), "semimicro", mark_scheme)


def judge_with(mark_scheme="common", scheme="semimicro", **changes):
    """A judge whose mark scheme differs from a shipped one: {section: {key: value}}, or a key of the whole."""
    content = base().mark_schemes[mark_scheme]
    changed = {k: content[k] | v if isinstance(content.get(k), dict) else v for k, v in changes.items()}
    return replace(
        bench(mark_scheme), plan=base().schemes[scheme], marking=from_data(content | changed, base())
    )


def read(text):
    """An observation as read."""
    return read_observation(words(), text)


def claims(text):
    """An inference as read, as (ions or group, firmness) pairs."""
    reading = read_inference(words(), base().ions, text)
    return [(claim.group or claim.ions, claim.firmness) for claim in reading.claims]


@cache
def line_of(test, subject, facet=""):
    """The expected line of one ion or salt in one test; with `facet`, only that part of it."""
    line = observe(base(), test, subject).as_json()
    if facet:
        line["seen"] = [item for item in line["seen"] if item["facet"] == facet]
    return line


@cache
def expected(specimen, scheme="semimicro"):
    """The expected record of a specimen, as it is frozen."""
    return expect(base(), read_specimen(base(), specimen), scheme).as_json()


def award(test, subject, text, facet="", mark_scheme="common"):
    """What an observation earns where this ion or salt is given."""
    return judge_observation(bench(mark_scheme), line_of(test, subject, facet), read(text))
