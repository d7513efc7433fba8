"""Log lines that never carry a key, a name, or what somebody typed."""

import logging
import re
import traceback

QUERY = re.compile(r"\?\S*")


class QuietFormatter(logging.Formatter):
    """Drops query strings, and of an exception keeps its kind and its place but not its message.

    A database's message quotes the row, and with it a candidate's name or a salt.
    """

    def formatMessage(self, record):
        """The line without what stood after a question mark."""
        return QUERY.sub("?...", super().formatMessage(record))

    def formatException(self, ei):
        """Where it happened and of which kind, for the whole chain of causes."""
        lines, seen = [], ei[1]
        while seen is not None:
            lines[:0] = [*traceback.format_tb(seen.__traceback__), f"{type(seen).__qualname__}\n"]
            seen = seen.__cause__ or (None if seen.__suppress_context__ else seen.__context__)
        return "".join(lines).rstrip()
