"""Rooms as grids: benches, sinks, fume cupboards; what is nothing of these is an aisle."""

SINK, CUPBOARD = "sink", "fume cupboard"
BENCH, LEFT, CLOSED, AISLE = "bench", "left-handed bench", "closed bench", "aisle"
PLACES = (BENCH, LEFT, CLOSED, SINK, CUPBOARD, AISLE)
BESIDE = ((-1, 0), (0, -1), (0, 1), (1, 0))


def sharing_sinks(benches, fixtures):
    """Groups of labels of benches that stand at one sink, in front of it or beside it.

    `benches` are records with row, column and label; `fixtures` are [row, column, kind].
    """
    at = {(bench.row, bench.column): bench.label for bench in benches}
    around = [
        tuple(sorted(at[row + down, column + right] for down, right in BESIDE
                     if (row + down, column + right) in at))
        for row, column, kind in fixtures if kind == SINK
    ]
    return tuple(sorted({group for group in around if len(group) > 1}))


def row_letters(row):
    """A, B, ... Z, AA, AB, ...: the letters of a row, counted from 0.

    >>> row_letters(0), row_letters(27)
    ('A', 'AB')
    """
    letters = ""
    while row >= 0:
        letters = chr(ord("A") + row % 26) + letters
        row = row // 26 - 1
    return letters


def label_at(row, column):
    """The label of a bench by its place, counted from 0.

    >>> label_at(1, 0)
    'B1'
    """
    return f"{row_letters(row)}{column + 1}"
