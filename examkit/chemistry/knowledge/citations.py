"""Where a fact was read: the sources of the bibliography and places in them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Citation:
    """A source key and the place where the fact was read."""

    key: str
    at: str = ""


@dataclass(frozen=True)
class Source:
    """A book, page or habit that facts are taken from."""

    key: str
    cite: str
    kind: str  # read | common practice | memory
