"""Which records are marked a second time, and by whom: PURE, the same for the same seed everywhere."""

from collections import Counter
from dataclasses import dataclass

from examkit.planning.chance import Stream


@dataclass(frozen=True)
class Entry:
    """A record that can be chosen: its code, salt and sitting, and who gave its marks the first time."""

    code: str
    salt: str
    sitting: int
    firsts: tuple[int, ...]

    @property
    def facets(self):
        """What a sample is spread over, the weightiest first: first examiners, salts, sittings."""
        return (("firsts", self.firsts), ("salt", self.salt), ("sitting", self.sitting))


def able(entry, markers):
    """The markers who gave the record no mark the first time."""
    return [marker for marker in markers if marker not in entry.firsts]


def choose(entries, markers, size, seed, already=()):
    """[(code, marker)]: `size` records, each for a marker who did not mark it first.

    Each time a record is taken of those whose first examiner, then salt, then sitting was taken least often
    so far, `already` (entry, marker) pairs included; among these the seed decides. Work is even over markers.
    """
    stream = Stream(seed, "second marking")
    left = stream.shuffled(sorted(entries, key=lambda entry: entry.code))
    order = stream.shuffled(sorted(markers))
    left = [entry for entry in left if able(entry, order)]
    taken = Counter(facet for entry, _marker in already for facet in entry.facets)
    load, chosen = Counter(marker for _entry, marker in already), []
    for _number in range(min(size, len(left))):
        entry = min(left, key=lambda entry: [taken[facet] for facet in entry.facets])
        marker = min(able(entry, order), key=lambda marker: load[marker])
        left.remove(entry)
        taken.update(entry.facets)
        load[marker] += 1
        chosen.append((entry.code, marker))
    return chosen
