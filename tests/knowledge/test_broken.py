"""Each file of tests/broken/ must not load, and its message must contain the words it names."""

from pathlib import Path

import pytest

from examkit.chemistry.errors import KnowledgeError
from examkit.chemistry.knowledge.build import build
from examkit.chemistry.knowledge.load import SHARED, knowledge_files, load

BROKEN = sorted((Path(__file__).parents[1] / "broken").glob("*.yaml"))


def problems_with(path):
    """The problems of the whole shipped base with this file put in (or in the place it names)."""
    text = path.read_text()
    place = next(line.removeprefix("# file: ") for line in text.splitlines() if line.startswith("# file: "))
    files = knowledge_files(SHARED)
    files.pop(place, None)
    folder = place.rpartition("/")[0]
    files[f"{folder}/{path.name}" if folder else path.name] = text.encode()
    return [str(problem) for problem in build(files, "an edition")[1]]


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_a_broken_file_is_refused_in_these_words(path):
    wanted = [line[8:] for line in path.read_text().splitlines() if line.startswith("# says: ")]
    said = "\n".join(problems_with(path))

    assert wanted
    assert [words for words in wanted if words not in said] == [], said


def test_all_problems_are_told_at_once(tmp_path):
    for path in BROKEN:
        (tmp_path / path.name).write_text(path.read_text())

    with pytest.raises(KnowledgeError) as refused:
        load(tmp_path)

    assert len(refused.value.problems) >= len(BROKEN)


def test_an_empty_folder_is_refused(tmp_path):
    with pytest.raises(KnowledgeError, match="no knowledge base here"):
        load(tmp_path)


def test_the_shipped_base_has_no_problems():
    assert build(knowledge_files(SHARED), "an edition")[1] == []
