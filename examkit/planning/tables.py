"""Tables as lines of text cells, whatever file they came in, and how many lines one may have."""

from dataclasses import dataclass

from examkit.planning.said import said as _

MOST_ROWS = 10_000
MOST_LINES = MOST_ROWS + 1  # with the headings


@dataclass(frozen=True)
class Table:
    """The rows of a sheet with their line numbers, and the places (line, column index) that held formulas."""

    rows: tuple[tuple[int, list[str]], ...]
    formulas: tuple[tuple[int, int], ...] = ()


def too_many():
    """What is said of a sheet with too many rows."""
    return _("The sheet has more than 10,000 rows. Split it into one file per exam, or delete the empty "
             "rows below the list.")
