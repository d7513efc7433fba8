"""What a salt's page shows: its bottles with their trials, its tubes with their masses."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Q
from django.utils.translation import gettext as _

from examkit.chemistry import formula
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import AuditEntry, DayNote, Happening, ShelfItem, Tube
from examkit.stockroom.amounts import Amount, plain
from examkit.stockroom.requirements import SaltNeed, salts_to_weigh
from examkit.stockroom.trials.selectors import TrialRow, bottle_words, bottles_of, trial_rows
from examkit.stockroom.tubes.tolerance import Range, tolerance
from examkit.stockroom.versions import version_of
from examkit.undo import standing

MG_IN_G = 1000
EMPTIED = "tubes emptied"


@dataclass(frozen=True)
class BottleRow:
    """A bottle of a salt, and its trial where it has one."""

    item: ShelfItem | None
    words: str
    amount: Amount | None
    trial: TrialRow | None


@dataclass(frozen=True)
class TubeRow:
    """A tube to fill: its label, and how it was filled."""

    label: str
    tube: Tube | None

    @property
    def mass_g(self):
        """The mass as it was weighed, in g; empty where only the filling was noted."""
        return plain(Decimal(self.tube.mass_mg) / MG_IN_G) if self.tube and self.tube.mass_mg else ""

    @property
    def version(self):
        """The version that a page shows."""
        return version_of(self.tube)


@dataclass(frozen=True)
class SaltPage:
    """All about one drawn salt."""

    need: SaltNeed
    name: str
    formula: str
    allowed: Range
    bottles: tuple[BottleRow, ...]
    tubes: tuple[TubeRow, ...]
    mixture: bool

    @property
    def filled(self):
        """How many tubes are filled."""
        return sum(row.tube is not None for row in self.tubes)

    @property
    def trials(self):
        """The bottles from which a tube may be filled: tried or being tried, and not set aside."""
        return [row.trial for row in self.bottles if row.trial and not row.trial.set_aside]


def need_of(exam, salt):
    """What is weighed of one salt; None where it was not drawn."""
    samples = [(code, salt) for code in exam.samples.filter(salt=salt).values_list("code", flat=True)]
    found = salts_to_weigh(samples, sample_mg=exam.sample_mg, spare_percent=exam.spare_percent)
    return found[0] if found else None


def labels(need):
    """The labels of all tubes of a salt: its sample codes, then the spare ones by number."""
    return [*need.codes, *(spare_label(number) for number in range(1, need.spare_tubes + 1))]


def spare_label(number):
    """How a spare tube is called in the stock room."""
    return f"spare {number}"


def salt_page(exam, salt):
    """The page of one drawn salt; None where it was not drawn."""
    need, kb = need_of(exam, salt), knowledge(exam.centre)
    if need is None:
        return None
    filled = {tube.label: tube for tube in exam.tubes.filter(salt=salt).select_related("trial", "by")}
    parts = [part.salt for part in read_specimen(kb, salt).parts]
    return SaltPage(
        need=need, name=" + ".join(part.name for part in parts),
        formula=" + ".join(formula.pretty(part.formula) for part in parts), allowed=tolerance(need.tube_g),
        bottles=tuple(_bottles(exam, salt, len(parts) > 1)),
        tubes=tuple(TubeRow(label, filled.get(label)) for label in labels(need)), mixture=len(parts) > 1)


def _bottles(exam, salt, mixture):
    rows = {row.trial.bottle_id: row for row in trial_rows(exam)[salt]}
    if mixture:
        yield BottleRow(None, _("the mixture, as it is packed"), None, next(iter(rows.values()), None))
        return
    for item in bottles_of(exam, salt):
        there = Amount(Decimal(item.amount) / MG_IN_G, "g")
        yield BottleRow(item, bottle_words(item), there, rows.get(item.pk))
    gone = rows.get(None)
    if gone:
        yield BottleRow(None, gone.trial.named, None, gone)


def filled_at_once(exam, salt):
    """The acts that noted the rest of a salt's tubes as filled."""
    return Q(what="tubes filled", detail__exam=exam.pk, detail__salt=salt)


@dataclass(frozen=True)
class Filling:
    """Tubes that were noted as filled in one act: its entry in the trail, the bottle, how many."""

    entry: AuditEntry
    bottle: str
    tubes: int


def fillings(exam, salt):
    """The acts on a salt's tubes that can be taken back whole, newest first."""
    return [Filling(entry, entry.detail["bottle"], len(entry.detail["tubes"]))
            for entry in standing(exam.centre, filled_at_once(exam, salt), back=EMPTIED)]


def second_samples(exam):
    """The second samples that were given out on the day and stand."""
    return DayNote.objects.filter(sample__exam=exam, kind=Happening.SECOND, undone_at=None)


@dataclass(frozen=True)
class SaltWork:
    """How far a drawn salt is: the key of its page, tubes filled, whether a bottle may be used."""

    page: int
    filled: int
    trials: int
    usable: bool


def work_of(exam):
    """How far each drawn salt is, by salt, in a constant number of queries."""
    counts = Counter(exam.tubes.values_list("salt", flat=True))
    rows = trial_rows(exam)
    return {salt: SaltWork(pk, counts[salt], len(rows[salt]), any(row.usable for row in rows[salt]))
            for pk, salt in exam.expected.values_list("pk", "salt")}
