"""The knowledge base's own words, read back: whatever `expect` prints earns full marks."""

import pytest

from examkit.chemistry.observe import outcome_json
from grading.scoring.lines import score_line
from grading.scoring.observed import judge_observation
from grading.scoring.outcomes import choices
from tests.reading.bench import base, bench, expected, read

PLACES = [(key, stage.test) for key, scheme in base().schemes.items() for stage in scheme.stages]


@pytest.mark.parametrize("salt", sorted(base().salts))
@pytest.mark.parametrize("mark_scheme", ["common", "no-halves"])
def test_the_expected_words_of_every_line_earn_all_and_need_no_person(salt, mark_scheme):
    record = expected(salt)
    present = (*record["cations"], *record["anions"])

    for line in (line for line in record["lines"] if line["done"]):
        score = score_line(bench(mark_scheme), line, present, line["text"], "")
        assert (score.observation.share, score.observation.why) == (1, ()), (
            line["test"],
            line["text"],
            score.observation,
        )


@pytest.mark.parametrize(("scheme", "test"), PLACES)
def test_every_wording_to_pick_reads_back_to_the_outcome_that_it_stands_for(scheme, test):
    for choice in choices(base(), scheme, test):
        line = {
            "test": test,
            "margin": "clear",
            "text": choice.text,
            "also_accepted": [],
            "seen": [outcome_json(item, choice.facet) for item in choice.seen],
        }
        given = judge_observation(bench(), line, read(choice.text))
        assert (given.share, given.why) == (1, ()), (choice.text, given)


@pytest.mark.parametrize(("scheme", "test"), PLACES)
def test_wordings_to_pick_are_distinct(scheme, test):
    texts = [choice.text for choice in choices(base(), scheme, test)]

    assert len(texts) == len(set(texts))
    assert texts


def test_a_scheme_or_test_that_is_not_there_has_no_wordings():
    assert choices(base(), "no such scheme", "flame") == choices(base(), "semimicro", "no such test") == ()
