"""Time of reading and scoring, as a ratio to a plain fuzzy-match pass: `python -m tests.benchmarks.marking FOLDER`.

The records of the folder are marked again and again, each text made different by a number that says nothing, so
that no reading is found ready. Told are the time of one record of 25 lines, of growing
numbers of records (a straight line, or not), and of looking each of their words up by nearest spelling in the
vocabulary, which is the least that any reading of free text does.
"""

import argparse
import itertools
import time
from pathlib import Path

import yaml
from rapidfuzz.distance import DamerauLevenshtein
from rapidfuzz.process import extractOne

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen
from grading.reading.lexicon import build
from grading.scoring.paper import score_paper
from grading.scoring.records import TextLoader

LINES = 25
COUNTS = (100, 500, 1_000, 2_000)


def main():
    """Measure and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder")
    parser.add_argument("--records", type=int, default=max(COUNTS), help="mark so many at last (10000 for the goal)")
    told = parser.parse_args()
    kb, papers = load(), list(records(Path(told.folder)))
    mark(kb, papers)  # the first pass fills the caches, as a running server has them
    one = longest(papers)
    ones = [unlike(one, f"9{number}") for number in range(20)]
    print(f"one record of {len(one[1])} lines: {seconds(lambda: mark(kb, ones)) / len(ones) * 1000:.1f} ms (goal 10)")
    for count in (*COUNTS, *([told.records] if told.records > max(COUNTS) else [])):
        batch = [unlike(paper, number) for number, paper in enumerate(itertools.islice(itertools.cycle(papers), count))]
        took = seconds(lambda batch=batch: mark(kb, batch))
        print(f"{count:6} records: {took:7.2f} s, {took / count * 1000:.2f} ms each")
    texts = [line.get(key) or "" for _key, lines, _result in papers for line in lines for key in ("observation", "inference")]
    fresh = [unlike(paper, 77777) for paper in papers]
    plain = seconds(lambda: fuzzy_pass(kb, texts))
    print(f"a plain fuzzy-match pass over the words of {len(papers)} records: {plain:.2f} s")
    print(f"marking them: {seconds(lambda: mark(kb, fresh)) / plain:.2f} times that")


def records(folder):
    """(expected record, lines, result) of each file."""
    kb = load()
    for file in sorted(folder.glob("*.yaml")):
        row = yaml.load(file.read_text(encoding="utf-8"), TextLoader)
        expected = expect(kb, read_specimen(kb, row["specimen"]), row.get("scheme", "semimicro")).as_json()
        yield expected, row["lines"], row.get("result")


def longest(papers):
    """A record stretched to the number of lines of a long exam, by lines of others on its own tests."""
    expected, lines, result = max(papers, key=lambda paper: len(paper[1]))
    written = {line["test"] for line in lines}
    more = [line["test"] for line in expected["lines"] if line["test"] not in written]
    others = itertools.cycle(line for _e, rows, _r in papers for line in rows)
    return expected, [*lines, *({**next(others), "test": test} for test in more)][:LINES], result


def unlike(paper, number):
    """The same record with a number behind each text."""
    expected, lines, result = paper
    keys = ("observation", "inference")
    return expected, [line | {key: f"{line[key]} {number}" for key in keys if line.get(key)} for line in lines], result


def mark(kb, papers):
    """Mark every record."""
    for expected, lines, result in papers:
        score_paper(kb, "common", expected, lines, result)


def fuzzy_pass(kb, texts):
    """The nearest word of the vocabulary for every word of every text."""
    vocabulary = sorted(build(kb).observation.words)
    for text in texts:
        for word in text.lower().split():
            extractOne(word, vocabulary, scorer=DamerauLevenshtein.distance, score_cutoff=2)


def seconds(work):
    """Seconds that a piece of work takes."""
    started = time.process_time()
    work()
    return time.process_time() - started


if __name__ == "__main__":
    main()
