"""The way of a specimen through a scheme as a drawing: stops on the lanes of the vessels they are done in.

Pure: places are numbers in the drawing's own units, colours are names; templates draw it.
"""

from dataclasses import dataclass
from textwrap import wrap

from examkit.chemistry.bench import walk
from examkit.chemistry.describe import describe_test
from examkit.chemistry.tube import START

LANE, MARGIN, LINE, GAP = 26, 16, 20, 14  # in the drawing's units; a letter is about 7
WIDTH, COLUMNS = 720, 68
SPECIMEN, TUBE = "specimen", "solution for the groups"
PORTIONS = {"solid": SPECIMEN, "original solution": "original solution", "extract": "extract"}


@dataclass
class Stop:
    """One test on the way: where it stands, what is seen there, what falls and what stays dissolved."""

    test: object
    title: str
    done: bool
    lane: str
    lines: list[str]
    colours: list[str]
    falls: tuple[str, ...]
    opens: tuple[str, ...]  # lanes that begin here
    named: bool = False  # the vessel is named here: it is another than before
    x: int = 0
    y: int = 0

    @property
    def rows(self):
        """Lines of text that it needs."""
        return 1 + len(self.lines) + self.named + bool(self.falls)


@dataclass(frozen=True)
class Lane:
    """One vessel: from where it branches off to its last stop."""

    name: str
    x: int
    bottom: int
    from_x: int
    from_y: int


@dataclass(frozen=True)
class Picture:
    """All that is drawn, and the tests that nothing led to."""

    stops: tuple[Stop, ...]
    lanes: tuple[Lane, ...]
    width: int
    height: int
    text_x: int
    left_out: tuple[object, ...]


def picture(kb, scheme, specimen):
    """The Picture of a specimen's way through a scheme."""
    every = [_stop(visit) for visit in walk(kb, scheme, specimen)]
    reached = {stop.lane for stop in every if stop.done}
    stops = [stop for stop in every if stop.lane in reached]
    columns = _columns(stops)
    y, lane = MARGIN + LINE, ""
    for stop in stops:
        stop.named, lane = stop.lane != lane, stop.lane
        stop.x, stop.y = MARGIN + LANE * columns[stop.lane], y
        y += LINE * stop.rows + GAP
    left_out = tuple(stop.test for stop in every if stop.lane not in reached)
    text_x = MARGIN + LANE * (max(columns.values()) + 1)
    return Picture(tuple(stops), tuple(_lanes(stops)), WIDTH, y, text_x, left_out)


def _stop(visit):
    test = visit.test
    lane = visit.stage.takes if test.portion == "tube" else PORTIONS[test.portion]
    lane = TUBE if lane == START else lane
    seen = [outcome for sight in visit.sights for outcome in sight.seen]
    text = describe_test(test, [(s.facet, s.seen) for s in visit.sights]) if visit.done else visit.why_not
    colours = list(dict.fromkeys(outcome.colours[0] for outcome in seen if outcome.colours))
    return Stop(test, visit.title, visit.done, lane, wrap(text, COLUMNS), colours, visit.falls, visit.opens)


def _columns(stops):
    """A column for each vessel; one that is used up leaves its column to the next. The specimen is first."""
    columns, busy = {SPECIMEN: 0}, {0: len(stops)}
    for name in dict.fromkeys(stop.lane for stop in stops if stop.lane != SPECIMEN):
        rows = [row for row, stop in enumerate(stops) if stop.lane == name]
        first = min([row for row, stop in enumerate(stops) if name in stop.opens] or rows)
        columns[name] = next(c for c in range(len(stops) + 1) if busy.get(c, -1) < first)
        busy[columns[name]] = rows[-1]
    return columns


def _lanes(stops):
    """Each vessel from where it is filled, out of another or of the specimen, to its last stop."""
    origin = {name: stop for stop in stops for name in stop.opens}
    tops = []
    for name in dict.fromkeys(stop.lane for stop in stops if stop.lane != SPECIMEN):
        on_it = [stop for stop in stops if stop.lane == name]
        parent = origin.get(name)
        from_x, from_y = (parent.x, parent.y) if parent else (MARGIN, on_it[0].y - LINE)
        tops += [] if parent else [from_y]
        yield Lane(name, on_it[0].x, max(stop.y for stop in on_it if stop.done), from_x, from_y)
    solid = [stop.y for stop in stops if stop.lane == SPECIMEN and stop.done]
    yield Lane(SPECIMEN, MARGIN, max([*solid, *tops]), MARGIN, MARGIN)
