"""The draw's input from the database, and its result as a plan of benches."""

from dataclasses import dataclass

from django.db.models import Count, Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import Bench, Sample
from examkit.planning.codes import spaced
from examkit.planning.plan import BenchAt, Choice, Entrant, Hall, Plan
from examkit.planning.selectors.expected import by_colour_alone


def capacity(exam):
    """The open benches of all sittings together."""
    counted = exam.sittings.aggregate(n=Count("room__benches", filter=Q(room__benches__open=True)))
    return counted["n"]


def plan_of(exam):
    """All that the draw of an exam depends on, as it stands in the database now."""
    pool, kb = list(exam.pool.values_list("formula", flat=True)), knowledge(exam.centre)
    helped = exam.candidates.filter(needs_colour_help=True).exists()
    avoid = tuple(by_colour_alone(exam, pool)) if helped else ()
    return Plan(_halls(exam), _entrants(exam, avoid), tuple(_choice(kb, formula) for formula in pool))


def _halls(exam):
    return tuple(
        Hall(
            sitting.name,
            tuple(
                BenchAt(bench.row, bench.column, bench.label)
                for bench in sitting.room.benches.all()
                if bench.open
            ),
        )
        for sitting in exam.sittings.select_related("room").prefetch_related("room__benches")
    )


def _entrants(exam, avoid):
    return tuple(
        Entrant(candidate.number, candidate.sitting_wish, candidate.bench_wish,
                avoid if candidate.needs_colour_help else ())
        for candidate in exam.candidates.all()
    )


def _choice(kb, formula):
    return Choice(formula, tuple(sorted(read_specimen(kb, formula).cations)))


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
        yield _("Fewer are not possible with this pool in these rooms.") if kept["proven"] else _(
            "Whether fewer are possible is not proven; another cation in the pool would help.")
    yield _("The salts are drawn equally often, with differences of at most %(exam)d in the exam and "
            "%(sitting)d in a sitting.") % {"exam": kept["uneven"], "sitting": kept["uneven_in_sitting"]}
    if kept["uneven"] > 1 and not shared:
        yield _("They would be more even if neighbours were allowed to share a cation.")


def not_avoided(exam):
    """The samples of candidates who need help with colours whose salt only colours tell from others."""
    numbers = [number for number, _salt in exam.draw.get("not_avoided", ())]
    return exam.samples.filter(candidate__number__in=numbers).select_related("candidate", "sitting", "bench")


@dataclass(frozen=True)
class Cell:
    """A place of the room: no bench, a closed bench, an empty one, or a candidate's sample."""

    bench: Bench | None = None
    sample: Sample | None = None

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
    return [_table(sitting, samples) for sitting in sittings]


def _table(sitting, samples):
    benches = {(bench.row, bench.column): bench for bench in sitting.room.benches.all()}
    columns = range(1 + max((column for _row, column in benches), default=-1))
    rows = []
    for row in sorted({row for row, _column in benches}):
        at = [benches.get((row, column)) for column in columns]
        label = next(bench.label for bench in at if bench).rstrip("0123456789")
        rows.append((label, tuple(Cell(b, samples.get((sitting.pk, b.pk)) if b else None) for b in at)))
    used = sum(1 for key in samples if key[0] == sitting.pk)
    return Table(sitting, range(1, len(columns) + 1), tuple(rows), used)
