"""The draw's input from the database, and its result as a plan of benches."""

from copy import copy
from dataclasses import dataclass

from django.db.models import Count, Q, Sum
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import Bench, Sample, ShelfItem
from examkit.planning.changes import Drawn, plan_after
from examkit.planning.codes import spaced
from examkit.planning.grid import row_letters, sharing_sinks
from examkit.planning.plan import BenchAt, Choice, Entrant, Hall, Plan, Seat
from examkit.planning.rules import COLOUR_NEVER, Rules
from examkit.planning.selectors.comparison import difficulties
from examkit.planning.selectors.expected import by_colour_alone

MEASURES = {
    "shared cations": _lazy("neighbours that share a cation"),
    "salts": _lazy("samples too many or too few of a salt, in the exam"),
    "salts in sittings": _lazy("samples too many or too few of a salt, in the sittings"),
    "cations in sittings": _lazy("samples too many or too few of a cation, in the sittings"),
    "difficulty of sittings": _lazy("mean difficulty of the sittings, in hundredths of a bit"),
    "salts in groups": _lazy("samples too many or too few of a salt, in the groups"),
    "difficulty of groups": _lazy("mean difficulty of the groups, in hundredths of a bit"),
}


def capacity(exam):
    """The open benches of all sittings together; of a sealed or drawn exam those of its plan."""
    planned = planned_benches(exam)
    if planned:
        return sum(len(benches) for benches in planned.values())
    counted = exam.sittings.aggregate(n=Count("room__benches", filter=Q(room__benches__open=True)))
    return counted["n"]


def plan_now(exam):
    """The sealed plan of a drawn exam with the changes since."""
    plan = Plan.from_json(exam.draw["plan"])
    for change in exam.draw.get("changes", ()):
        plan = plan_after(plan, change["about"])
    return plan


def drawn_now(exam):
    """The draw as it stands in the database: the sealed plan with the changes since, the seats, the codes."""
    samples = exam.samples.select_related("candidate", "sitting", "bench")
    seats = {
        s.candidate.number: Seat(s.candidate.number, s.sitting.name, s.bench.label, s.salt) for s in samples
    }
    return Drawn(plan_now(exam), seats, {s.candidate.number: s.code for s in samples})


def benches_of(exam, sitting):
    """The benches in use in a sitting by the plan of a drawn exam, with the changes since; none before."""
    return planned_benches(exam).get(sitting.name, ())


def planned_benches(exam):
    """The benches in use by name of sitting, by the plan of a sealed or drawn exam; empty before the seal."""
    return {hall.name: hall.benches for hall in plan_now(exam).halls} if "plan" in exam.draw else {}


def rules_of(exam):
    """The rules that the teacher set for the draw of an exam."""
    return Rules.from_json(exam.rules)


def plan_of(exam):
    """All that the draw of an exam depends on, as it stands in the database now."""
    pool, rules = list(exam.pool.values_list("formula", flat=True)), rules_of(exam)
    sittings = list(exam.sittings.select_related("room").prefetch_related("room__benches"))
    return Plan(
        tuple(_hall(sitting, rules) for sitting in sittings),
        _entrants(exam, pool, rules),
        _choices(exam, pool, rules),
        close_in_time(sittings, rules.close_minutes),
    )


def _hall(sitting, rules):
    room, benches = sitting.room, [bench for bench in sitting.room.benches.all() if bench.open]
    return Hall(
        sitting.name,
        tuple(BenchAt(bench.row, bench.column, bench.label) for bench in benches),
        sharing_sinks(benches, room.fixtures) if rules.sinks else (),
        tuple(sorted(bench.label for bench in benches if bench.left_handed)),
        room.separate,
    )


def close_in_time(sittings, minutes):
    """Pairs of names of sittings in one room that begin within so many minutes, the earlier first."""
    timed = sorted((sitting for sitting in sittings if sitting.starts_at), key=lambda one: one.starts_at)
    return tuple(
        (one.name, later.name) for index, one in enumerate(timed) for later in timed[index + 1:]
        if one.room_id == later.room_id
        and 0 < (later.starts_at - one.starts_at).total_seconds() <= minutes * 60
    )


def _entrants(exam, pool, rules):
    candidates = list(exam.candidates.all())
    helped = any(candidate.needs_colour_help for candidate in candidates)
    alone = tuple(by_colour_alone(exam, pool)) if helped else ()
    met = met_before(exam) if rules.met_before else {}
    return tuple(_entrant(one, alone, met.get((one.number, one.name), ()), pool, rules) for one in candidates)


def entrant_of(candidate):
    """One candidate as the draw sees them now, with the salts that are not for them."""
    exam, rules = candidate.exam, rules_of(candidate.exam)
    pool = list(exam.pool.values_list("formula", flat=True))
    alone = tuple(by_colour_alone(exam, pool)) if candidate.needs_colour_help else ()
    met = met_before(exam).get((candidate.number, candidate.name), ()) if rules.met_before else ()
    return _entrant(candidate, alone, met, pool, rules)


def _entrant(candidate, alone, met, pool, rules):
    told_by_colour = alone if candidate.needs_colour_help else ()
    never = {salt for salt in met if salt in pool}
    if rules.colour == COLOUR_NEVER:
        never |= set(told_by_colour)
    avoid = () if rules.colour == COLOUR_NEVER else tuple(sorted(set(told_by_colour) - never))
    return Entrant(
        candidate.number, candidate.sitting_wish, candidate.bench_wish, avoid, tuple(sorted(never)),
        candidate.group, candidate.separate_room, candidate.left_handed)


def met_before(exam):
    """The salts that each candidate of an exam had in earlier exams of the centre, by (number, name).

    Somebody is the same where number and name are: a number alone is given to another the year after.
    """
    here = exam.candidates.values("number")
    others = Sample.objects.filter(exam__centre=exam.centre_id).exclude(exam=exam)
    earlier, met = others.filter(candidate__number__in=here), {}
    for number, name, salt in earlier.values_list("candidate__number", "candidate__name", "salt"):
        met.setdefault((number, name), set()).add(salt)
    return met


def _choices(exam, pool, rules):
    kb, hard = knowledge(exam.centre), difficulties(exam, pool)
    most = samples_on_shelf(exam, pool) if rules.within_stock else {}
    return tuple(
        Choice(
            salt, tuple(sorted(read_specimen(kb, salt).cations)), most.get(salt),
            tuple(f"apart {place}" for place, group in enumerate(rules.apart) if salt in group), hard[salt])
        for salt in pool
    )


def samples_on_shelf(exam, formulas):
    """The number of samples, with what is weighed in addition, that the bottles in use of each salt hold."""
    bottles = ShelfItem.objects.filter(centre=exam.centre_id, substance__in=formulas, set_aside="")
    held = dict(bottles.values_list("substance").annotate(Sum("amount")).order_by())
    each = exam.sample_mg * (100 + exam.spare_percent)
    return {formula: held.get(formula, 0) * 100 // each for formula in formulas}


def outcome(exam):
    """How well the rules were kept, as sentences; no salt is named."""
    return list(_outcome(exam))


def _outcome(exam):
    kept = exam.draw
    yield _("No two neighbours have the same salt.")
    shared = kept["shared_cations"]
    if not shared:
        yield _("No two neighbours share a cation.")
    else:
        yield ngettext(
            "%(n)d pair of neighbours shares a cation: %(benches)s.",
            "%(n)d pairs of neighbours share a cation: %(benches)s.",
            len(shared),
        ) % {
            "n": len(shared),
            "benches": "; ".join(f"{sitting} {one}-{two}" for sitting, one, two in shared[:30]),
        }
        doubtful = any(measure == "shared cations" for measure, *_rest in kept.get("gap", ()))
        yield _("Fewer are not possible with this pool in these rooms.") if not doubtful else _(
            "Whether fewer are possible is not proven; another cation in the pool would help.")
    yield _("The salts are drawn equally often, with differences of at most %(exam)d in the exam and "
            "%(sitting)d in a sitting.") % {"exam": kept["uneven"], "sitting": kept["uneven_in_sitting"]}
    yield from _balance(kept)


def _balance(kept):
    """What is proven, or how far it may be from the best."""
    if not kept.get("gap"):
        yield _("Nothing can be more even under the rules: salts, cations and difficulty over sittings and "
                "groups are proven best. The proof holds for this spread of candidates over the sittings, "
                "which was drawn first, by chance and by the wishes of the class list; whether another "
                "spread could be more even was not asked.")
    for measure, reached, bound in kept.get("gap", ()):
        yield _("Not proven best: %(measure)s. Reached %(reached)d, and less than %(bound)d is impossible; "
                "0 would be perfectly even.") % {
            "measure": MEASURES.get(measure, measure), "reached": reached, "bound": bound}


def not_avoided(exam):
    """The samples of candidates who need help with colours whose salt only colours tell from others."""
    numbers = [number for number, _salt in exam.draw.get("not_avoided", ())]
    return exam.samples.filter(candidate__number__in=numbers).select_related("candidate", "sitting", "bench")


@dataclass(frozen=True)
class Cell:
    """A place of the room: nothing, a fixture, a closed bench, an empty one, or a candidate's sample."""

    bench: Bench | None = None
    sample: Sample | None = None
    fixture: str = ""

    @property
    def code(self):
        """The sample code as printed."""
        return spaced(self.sample.code)


@dataclass(frozen=True)
class Table:
    """One sitting as rows of benches, the first row in front."""

    sitting: object
    columns: range
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]
    samples: int


def seating(exam):
    """The plan of each sitting, for a table of benches with their samples."""
    sittings = exam.sittings.select_related("room").prefetch_related("room__benches")
    samples = {(s.sitting_id, s.bench_id): s for s in exam.samples.select_related("candidate")}
    planned = planned_benches(exam)
    return [_table(sitting, samples, planned.get(sitting.name)) for sitting in sittings]


def _table(sitting, samples, planned):
    room = sitting.room
    benches = {(one.row, one.column): _as_planned(one, planned) for one in room.benches.all()}
    fixtures = {(row, column): what for row, column, what in room.fixtures}
    places = [*benches, *fixtures]
    columns = range(1 + max((column for _row, column in places), default=-1))
    rows = []
    for row in sorted({row for row, _column in places}):
        cells = (_cell(benches.get((row, column)), fixtures.get((row, column), ""), sitting, samples)
                 for column in columns)
        rows.append((row_letters(row), tuple(cells)))
    used = sum(1 for key in samples if key[0] == sitting.pk)
    return Table(sitting, range(1, len(columns) + 1), tuple(rows), used)


def _as_planned(bench, planned):
    """A bench, open or not as the plan has it, whatever became of the room since; None: there is no plan."""
    bench = copy(bench)
    bench.open = bench.open if planned is None else bench.label in {one.label for one in planned}
    return bench


def _cell(bench, fixture, sitting, samples):
    return Cell(bench, samples.get((sitting.pk, bench.pk)) if bench else None, fixture)
