"""Fair chance from a seed: the same numbers on every machine and with every version of Python."""

import hashlib

LABEL = b"examkit chance 1"  # a new way of drawing gets a new number, so that old draws stay checkable


class Stream:
    """An endless stream of fair integers: SHA-256 over seed, purpose and a counter."""

    def __init__(self, seed, purpose):
        self._key = hashlib.sha256(b"\0".join([LABEL, seed.encode(), purpose.encode()])).digest()
        self._counter = 0

    def _word(self):
        """The next 64 bits."""
        self._counter += 1
        digest = hashlib.sha256(self._key + self._counter.to_bytes(8, "big")).digest()
        return int.from_bytes(digest[:8], "big")

    def below(self, limit):
        """An integer from 0 to limit - 1, each equally likely (values that would tilt the scale are thrown
        away)."""
        fair = 2**64 - 2**64 % limit
        word = self._word()
        while word >= fair:
            word = self._word()
        return word % limit

    def shuffled(self, items):
        """The items in random order, each order equally likely (Fisher and Yates)."""
        items = list(items)
        for last in range(len(items) - 1, 0, -1):
            other = self.below(last + 1)
            items[last], items[other] = items[other], items[last]
        return items
