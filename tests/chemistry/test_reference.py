"""The forward results against published observations; each file of tests/reference/ names its source."""

from pathlib import Path

import pytest
import yaml

from examkit.chemistry.colours import any_agree
from examkit.chemistry.sight import Portion, see
from examkit.chemistry.specimen import find_salt

FILES = sorted((Path(__file__).parents[1] / "reference").glob("*.yaml"))
CASES = [
    pytest.param(published, id=f"{path.stem}-{published['test']}-{published['subject']}-{number}")
    for path in FILES
    for number, published in enumerate(yaml.safe_load(path.read_text())["observations"])
]


def test_there_are_enough_sources_and_observations():
    assert len(FILES) >= 6
    assert len(CASES) >= 250


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_file_names_its_source_and_the_place(path):
    document = yaml.safe_load(path.read_text())

    assert document["source"] and document["at"]


@pytest.mark.parametrize("published", CASES)
def test_what_was_published_is_what_we_compute(kb, published):
    outcomes = see(kb, *place(kb, published), portion(kb, str(published["subject"]))).seen
    if "step" in published:
        outcomes = [o for o in outcomes if o.step in (published["step"], "")]
    if published["event"] == "none":
        assert not [o for o in outcomes if o.seen]
        return
    same = [o for o in outcomes if o.event == published["event"]]

    assert same, outcomes
    assert any(any_agree(kb, o.colours, published.get("colours", [])) for o in same), outcomes


def place(kb, published):
    """The test and the facet that a published observation is about."""
    test = kb.tests[published["test"]]
    return test, test.facets[published["facet"]]


def portion(kb, subject):
    """An ion alone, or a salt."""
    if subject in kb.ions:
        return Portion((subject,))
    salt = find_salt(kb, subject)
    return Portion(tuple(salt.ions), (salt,))
