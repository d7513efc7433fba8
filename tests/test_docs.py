"""The documentation says what is there: folders, settings, commands, keys of the knowledge base."""

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

from examkit.chemistry.knowledge import schemes, shapes

TOP = Path(__file__).parents[1]
GUIDE = (TOP / "DEVELOPERS.md").read_text()
README = (TOP / "README.md").read_text()
KEYS = (TOP / "shared" / "README.md").read_text()
TREE = re.search(r"## The tree\n\n```\n(.*?)```", GUIDE, re.DOTALL)[1]


def named_in_tree():
    """Paths that the tree names, by its indentation."""
    folder, deeper = "", ""
    for line in TREE.splitlines():
        match = re.match(r"( *)(\S.*?)(?:  +|$)", line)
        if not match:
            continue
        depth, words = len(match[1]), match[2].split()
        if depth == 0:
            folder, deeper = "", ""
        base = folder if depth == 2 else deeper if depth == 4 else ""
        for word in words:
            yield f"{base}{word}"
        if words[0].endswith("/"):
            if depth == 0:
                folder = words[0]
            elif depth == 2:
                deeper = folder + words[0]


@pytest.mark.parametrize("path", list(named_in_tree()))
def test_what_the_tree_names_is_there(path):
    assert (TOP / path).exists()


@pytest.mark.parametrize("top", ["examkit", "grading", "shared"])
def test_every_folder_is_in_the_tree(top):
    folders = {p.name for p in (TOP / top).iterdir() if p.is_dir() and not p.name.startswith(("__", "."))}

    assert folders <= {part for path in named_in_tree() for part in Path(path).parts}


def test_every_variable_of_the_settings_is_listed():
    used = set()
    for file in ("examkit/settings.py", "examkit/environment.py"):
        used |= set(re.findall(r'(?:env\.)?(?:text|flag|words)\("([A-Z_]+)"', (TOP / file).read_text()))

    assert {name for name in used if f"`{name}`" not in GUIDE} == set()


def test_every_command_of_ours_is_in_the_readme():
    ours = {name for name, app in get_commands().items() if app in ("examkit", "grading")}

    assert {name for name in ours if name not in README} == set()


def test_every_key_of_the_knowledge_base_is_explained():
    """In shared/README.md, or in the comments of the files of its folder."""
    explained = KEYS + "".join(p.read_text() for p in (TOP / "shared").glob("*/*.yaml"))
    models = [m for module in (shapes, schemes) for m in vars(module).values() if hasattr(m, "model_fields")]
    keys = {key for model in models for key in model.model_fields}

    assert {key for key in keys if not re.search(rf"\b{key}\b", explained)} == set()


def test_every_ban_is_kept_in_the_tree():
    """No file names a path of somebody's machine."""
    for path in TOP.rglob("*"):
        hidden = {".git", ".venv", "var", "__pycache__"} & set(path.parts)
        if path.is_file() and not hidden and path.suffix in (".py", ".md", ".yaml", ".html", ".css", ".js", ".txt"):
            assert not re.search(r"/home/[a-z]+/|/work/|/tmp/brief", path.read_text(errors="ignore").replace(
                'r"/home/[a-z]+/|/work/|/tmp/brief"', "")), path
