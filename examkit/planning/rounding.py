"""Whole numbers for fair shares, by chance: each cell up or down with the chance that its share asks for."""

from fractions import Fraction
from math import floor, lcm


def rounded(table, stream):
    """A table of shares (row -> column -> fraction) as whole numbers, each next to its share.

    Row totals must be whole and stay; column totals are rounded to a whole number next to theirs. The
    expected value of every cell is its share exactly: along a cycle of cells that are not whole yet, some go
    up and some down, with chances that balance (dependent rounding).
    """
    rows, columns = list(table), list(next(iter(table.values())))
    scale = lcm(*(Fraction(table[row][column]).denominator for row in rows for column in columns))
    whole = [[floor(table[row][column]) for column in columns] for row in rows]
    parts = [
        [int((table[row][column] - whole[i][j]) * scale) for j, column in enumerate(columns)]
        for i, row in enumerate(rows)
    ]
    parts.append([-sum(row[j] for row in parts) % scale for j in range(len(columns))])  # fills columns up
    _Cycles(parts, scale, stream).round_all()
    return {
        row: {column: whole[i][j] + (parts[i][j] == scale) for j, column in enumerate(columns)}
        for i, row in enumerate(rows)
    }


class _Cycles:
    """The cells that are not whole yet, as a graph of rows and columns."""

    def __init__(self, parts, scale, stream):
        self.parts, self.scale, self.stream = parts, scale, stream
        self.open = {}
        for i, row in enumerate(parts):
            for j, part in enumerate(row):
                if 0 < part < scale:
                    self.open.setdefault(("row", i), []).append(("column", j))
                    self.open.setdefault(("column", j), []).append(("row", i))

    def round_all(self):
        """Shift along cycles until every cell is whole."""
        while self.open:
            self._shift(self._cycle())

    def _cycle(self):
        """A cycle of nodes: a walk, each step by chance, until it meets itself."""
        node, came, at, path = next(iter(self.open)), None, {}, []
        while node not in at:
            at[node] = len(path)
            path.append(node)
            ways = [other for other in self.open[node] if other != came]
            came, node = node, ways[self.stream.below(len(ways))]
        return path[at[node]:]

    def _shift(self, cycle):
        cells = [self._cell(node, cycle[(place + 1) % len(cycle)]) for place, node in enumerate(cycle)]
        rise, fall = cells[::2], cells[1::2]
        up = min(*(self.scale - self.parts[i][j] for i, j in rise), *(self.parts[i][j] for i, j in fall))
        down = min(*(self.parts[i][j] for i, j in rise), *(self.scale - self.parts[i][j] for i, j in fall))
        step = up if self.stream.below(up + down) < down else -down
        for sign, some in ((1, rise), (-1, fall)):
            for i, j in some:
                self.parts[i][j] += sign * step
                if self.parts[i][j] in (0, self.scale):
                    self._close(("row", i), ("column", j))

    @staticmethod
    def _cell(one, other):
        return (one[1], other[1]) if one[0] == "row" else (other[1], one[1])

    def _close(self, row, column):
        for node, other in ((row, column), (column, row)):
            self.open[node].remove(other)
            if not self.open[node]:
                del self.open[node]
