"""Where a fact was read: the sources of the bibliography and places in them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Citation:
    """A source key and the place where the fact was read.

    `inferred`: the place does not say it of this ion or salt: it follows from a list there that is complete
    without it, or from what the place tells of a whole class.
    """

    key: str
    at: str = ""
    inferred: bool = False


def citations_of(source):
    """The citations that a `source` key of a file gives, whatever it cites for."""
    return tuple(Citation(cite.key, cite.at, cite.inferred) for cite in source)


@dataclass(frozen=True)
class Source:
    """A book, page or habit that facts are taken from."""

    key: str
    cite: str
    kind: str  # read | common practice | memory
