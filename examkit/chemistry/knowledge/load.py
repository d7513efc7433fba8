"""Load the knowledge base: read and check every file, build the records, name the edition by its digest."""

import hashlib
import pickle
from functools import cache
from pathlib import Path

from examkit.chemistry.errors import KnowledgeError

SHARED = Path(__file__).resolve().parents[3] / "shared"
SKIPPED_SUFFIX = ".examples.yaml"  # sentences for the tests of the reader, no facts


@cache
def load(path=SHARED, cache_dir=None):
    """The knowledge base under `path`; with `cache_dir` a base already checked is not read anew.

    Raises KnowledgeError, which lists every problem with file, line and key.
    """
    path = Path(path)
    files = knowledge_files(path)
    edition = digest(files)
    kept = Path(cache_dir) / f"{edition}-{code_digest()}.pickle" if cache_dir else None
    if kept and kept.exists():
        return pickle.loads(kept.read_bytes())
    from examkit.chemistry.knowledge.build import build  # heavy, and not needed when the base is kept

    base, problems = build(files, edition)
    if problems:
        raise KnowledgeError(problems)
    if kept:
        keep(kept, base)
    return base


def knowledge_files(path):
    """Name and bytes of every knowledge file under `path`, in a fixed order."""
    names = sorted(p for p in path.rglob("*.yaml") if not p.name.endswith(SKIPPED_SUFFIX))
    if not names:
        raise KnowledgeError(
            [f"{path}: no knowledge base here. Give the folder that holds ions/, salts/ and tests/."]
        )
    return {p.relative_to(path).as_posix(): p.read_bytes() for p in names}


def digest(files):
    """SHA-256 over names and contents: the name of the edition."""
    total = hashlib.sha256()
    for name, content in sorted(files.items()):
        total.update(f"{name}\0{len(content)}\0".encode())
        total.update(content)
    return total.hexdigest()


@cache
def code_digest():
    """A short digest of this package: a kept base is only good for the code that wrote it."""
    sources = sorted(Path(__file__).parent.glob("*.py")) + [Path(__file__).parents[1] / "formula.py"]
    return hashlib.sha256(b"".join(source.read_bytes() for source in sources)).hexdigest()[:12]


def keep(kept, base):
    """Write a checked base, or a layer over it, where the next start finds it."""
    kept.parent.mkdir(parents=True, exist_ok=True)
    half = kept.with_suffix(f".{hashlib.sha256(repr(id(base)).encode()).hexdigest()[:8]}")
    half.write_bytes(pickle.dumps(base, protocol=pickle.HIGHEST_PROTOCOL))
    half.replace(kept)  # whole or not at all
