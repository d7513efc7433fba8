"""How the day stands: bench by bench, note by note. No salt is shown here, and none is read but to count."""

from collections import defaultdict
from dataclasses import dataclass, field

from django.db.models import Count, Max, Q

from examkit.knowledge import knowledge
from examkit.models import DayNote, Happening, Sample
from examkit.stockroom.tubes.selectors import need_of, second_samples
from examkit.undo import standing

ATTENDANCE = (Happening.PRESENT, Happening.ABSENT)
ALL_OTHERS, AT_ONCE_BACK = "day: all others present", "day: all others taken back"


@dataclass
class Place:
    """One candidate at a bench, and what was noted; `name` and `number` for those who may see them."""

    code: str
    bench: str
    number: str
    name: str
    extra_percent: int
    colour_help: bool
    attendance: str = ""
    since: object = None
    left: object = None
    minutes: int = 0
    own_minutes: int = 0
    seconds: int = 0
    colours: int = 0
    incidents: int = 0
    ends_at: object = None  # with their extra time and the minutes given back; None without a beginning
    notes: list = field(default_factory=list)

    def hear(self, note):
        """Take in one note that stands."""
        match note.kind:
            case Happening.PRESENT | Happening.ABSENT:
                self.attendance, self.since = note.kind, note.at
            case Happening.LEFT:
                self.left = note.at
            case Happening.TIME:
                self.minutes += note.minutes
                self.own_minutes += note.minutes if note.sample_id else 0
            case Happening.SECOND:
                self.seconds += 1
            case Happening.COLOUR:
                self.colours += 1
            case Happening.INCIDENT:
                self.incidents += 1


@dataclass(frozen=True)
class RoomMap:
    """A sitting's room, row by row, None where there is no candidate; and all notes, newest first."""

    rows: tuple
    places: tuple[Place, ...]
    notes: tuple[DayNote, ...]
    minutes: int
    stamp: str
    ends_at: object = None  # for who has no more time than all

    @property
    def unknown(self):
        """How many are neither present nor absent."""
        return sum(not place.attendance for place in self.places)


def room_map(sitting):
    """How a sitting stands now."""
    samples = list(sitting.samples.select_related("candidate", "bench").defer("salt"))
    places = {sample.pk: _place(sample) for sample in samples}
    notes = list(DayNote.objects.filter(sitting=sitting).select_related("by", "undone_by", "sample"))
    for note in notes:
        for place in _meant(note, places):
            place.notes.append(note)
            if not note.undone_at:
                place.hear(note)
    for place in places.values():
        place.ends_at = sitting.end_for(place.extra_percent, place.minutes)
    for_all = [n.minutes for n in notes if n.kind == Happening.TIME and not n.sample_id and not n.undone_at]
    at = {(s.bench.row, s.bench.column): places[s.pk] for s in samples}
    return RoomMap(rows=_grid(at), places=tuple(at[key] for key in sorted(at)), notes=tuple(reversed(notes)),
                   minutes=sum(for_all), stamp=stamp(sitting), ends_at=sitting.end_for(back_min=sum(for_all)))


def noted_at_once(sitting):
    """The acts that noted all others of a sitting as present."""
    return Q(what=ALL_OTHERS, detail__sitting=sitting.pk)


def acts_at_once(sitting):
    """Those of them that stand, newest first."""
    return standing(sitting.exam.centre, noted_at_once(sitting), back=AT_ONCE_BACK)


def stamp(sitting):
    """Changes whenever anything is noted or taken back in a sitting."""
    found = DayNote.objects.filter(sitting=sitting).aggregate(
        last=Max("pk"), undone=Count("pk", filter=Q(undone_at__isnull=False)))
    return f"{found['last'] or 0}-{found['undone']}"


def _meant(note, places):
    if note.sample_id:
        return [places[note.sample_id]] if note.sample_id in places else []
    return places.values() if note.kind == Happening.TIME else []


def _grid(at):
    """Rows and columns that are used, with gaps where nobody sits."""
    rows, columns = ({key[axis] for key in at} for axis in (0, 1))
    if not at:
        return ()
    return tuple(tuple(at.get((row, column)) for column in range(min(columns), max(columns) + 1))
                 for row in range(min(rows), max(rows) + 1))


def _place(sample):
    candidate = sample.candidate
    return Place(sample.code, sample.bench.label, candidate.number, candidate.name,
                 candidate.extra_time_percent, candidate.needs_colour_help)


def place_of(sample):
    """One candidate as they stand now."""
    row = Sample.objects.select_related("candidate", "bench", "sitting").defer("salt").get(pk=sample.pk)
    place = _place(row)
    whole = Q(sample=None, kind=Happening.TIME)
    notes = DayNote.objects.filter(Q(sample=row) | whole, sitting=row.sitting_id)
    for note in notes.select_related("by", "undone_by"):
        place.notes.append(note)
        if not note.undone_at:
            place.hear(note)
    place.ends_at = row.sitting.end_for(place.extra_percent, place.minutes)
    return place


def spare_left(sample):
    """Spare tubes that are left of what a sample holds; says nothing of what that is."""
    need = need_of(sample.exam, sample.salt)
    return need.spare_tubes - second_samples(sample.exam).filter(sample__salt=sample.salt).count()


@dataclass(frozen=True)
class SittingCount:
    """A sitting with how many are present, absent, not noted."""

    sitting: object
    present: int
    absent: int
    unknown: int


def sittings_of(exam):
    """The sittings of an exam, in time, with their counts, in two queries."""
    last = {}
    for note in DayNote.objects.filter(sitting__exam=exam, undone_at=None, kind__in=ATTENDANCE):
        last[note.sample_id] = (note.sitting_id, note.kind)
    counts = defaultdict(lambda: defaultdict(int))
    for sitting, kind in last.values():
        counts[sitting][kind] += 1
    rows = exam.sittings.select_related("room").annotate(n=Count("samples")).filter(n__gt=0)
    return [_counted(sitting, counts[sitting.pk]) for sitting in rows]


def _counted(sitting, found):
    present, absent = found[Happening.PRESENT], found[Happening.ABSENT]
    return SittingCount(sitting, present, absent, sitting.n - present - absent)


@dataclass(frozen=True)
class Told:
    """What an examiner may know of the day: absence, and the colours named, each as test and words."""

    absent: bool
    colours: tuple[tuple[str, str], ...]


def told_of(sample):
    """What the day tells of one sample, in one query: no name, no incident."""
    tests, attendance, colours = knowledge(sample.exam.centre).tests, "", []
    kinds = (*ATTENDANCE, Happening.COLOUR)
    for note in DayNote.objects.filter(sample=sample, undone_at=None, kind__in=kinds):
        if note.kind == Happening.COLOUR:
            title = tests[note.test].title if note.test in tests else note.test
            colours.append((title, note.words))
        else:
            attendance = note.kind
    return Told(attendance == Happening.ABSENT, tuple(colours))
