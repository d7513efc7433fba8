"""What was tried, bottle by bottle and test by test, and what is still missing before the sign-off."""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Prefetch
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.models import Amendment, ExpectedRecord, ShelfItem, State, Trial, TrialLine, Tube
from examkit.planning.selectors.expected import expected_json
from examkit.stockroom.shelf import one_name
from examkit.stockroom.trials.amended import facets_of
from examkit.stockroom.versions import version_of
from examkit.stockroom.wording import name_of


@dataclass(frozen=True)
class LineRow:
    """One test: what is expected, what was seen, and what is accepted beside it."""

    test: str
    title: str
    expected: str
    also: tuple[str, ...]
    cautions: tuple[str, ...]
    facets: tuple[tuple[str, str], ...]  # key and title
    tried: TrialLine | None
    amendments: tuple[Amendment, ...]

    @property
    def agrees(self):
        """Whether it is as expected; None where it is not tried yet."""
        return self.tried.agrees if self.tried else None

    @property
    def seen(self):
        """What was seen, in words."""
        return self.tried.seen if self.tried else ""

    @property
    def settled(self):
        """Whether nothing is left to do: as expected, or amended."""
        in_force = any(not amendment.undone_why for amendment in self.amendments)
        return bool(self.agrees) or (self.agrees is False and in_force)

    @property
    def version(self):
        """The version that a page shows."""
        return version_of(self.tried)


@dataclass(frozen=True)
class TrialRow:
    """One bottle with all tests of its salt."""

    trial: Trial
    lines: tuple[LineRow, ...]
    name: str

    @property
    def set_aside(self):
        """Why the bottle is not used; empty where it is."""
        return self.trial.bottle.set_aside if self.trial.bottle else ""

    @property
    def left(self):
        """Tests that are not tried yet."""
        return sum(line.agrees is None for line in self.lines)

    @property
    def differing(self):
        """Tests that differ and are not settled."""
        return sum(line.agrees is False and not line.settled for line in self.lines)

    @property
    def usable(self):
        """Whether tubes may be filled from this bottle."""
        return not self.set_aside and all(line.settled for line in self.lines)


def base_record(exam, salt):
    """The expected record of a drawn salt and its edition: the frozen one, computed where it is missing."""
    kept = exam.expected.filter(salt=salt).values_list("record", "edition").first()
    return kept or (expected_json(exam, salt), knowledge(exam.centre).edition)


def trial_row(trial):
    """One trial with its lines."""
    one = _loaded(Trial.objects.select_related("exam__centre").filter(pk=trial.pk))
    return _row(knowledge(trial.exam.centre), one.get(),
                base_record(trial.exam, trial.salt)[0])


def trial_rows(exam):
    """All trials of an exam, by salt."""
    kb, records, rows = knowledge(exam.centre), {}, defaultdict(list)
    for trial in _loaded(exam.trials.all()):
        if trial.salt not in records:
            records[trial.salt] = base_record(exam, trial.salt)[0]
        rows[trial.salt].append(_row(kb, trial, records[trial.salt]))
    return rows


def _loaded(trials):
    lines = Prefetch("lines", TrialLine.objects.select_related("by"))
    amendments = Prefetch("amendments", Amendment.objects.select_related("by"))
    return trials.select_related("bottle").prefetch_related(lines, amendments)


def _row(kb, trial, record):
    tried = {line.test: line for line in trial.lines.all()}
    amended = defaultdict(list)
    for amendment in trial.amendments.all():
        amended[amendment.test].append(amendment)
    lines = tuple(_line(kb, line, tried.get(line["test"]), amended[line["test"]])
                  for line in record["lines"] if line["done"])
    return TrialRow(trial, lines, _name(kb, trial.salt))


def _line(kb, line, tried, amended):
    facets = kb.tests[line["test"]].facets
    return LineRow(
        test=line["test"], title=line.get("title") or kb.tests[line["test"]].title, expected=line["text"],
        also=tuple(dict.fromkeys(other["text"] for other in line["also_accepted"] if other["text"])),
        cautions=tuple(line["cautions"]),
        facets=tuple((key, facets[key].title) for key in facets_of(line) if key in facets),
        tried=tried, amendments=tuple(amended))


def bottles_of(exam, salt):
    """The bottles of the shelf from which a drawn salt can be taken; several substances for a mixture."""
    kb = knowledge(exam.centre)
    names = {one_name(kb, part.salt.formula) for part in read_specimen(kb, salt).parts}
    shelf = ShelfItem.objects.filter(centre=exam.centre)
    return [item for item in shelf if one_name(kb, item.substance) in names]


def bottle_words(item):
    """How a bottle is told from the others: lot, grade, date, note."""
    parts = [_("lot %(lot)s") % {"lot": item.lot} if item.lot else "", item.grade,
             date_format(item.made_on, "j M Y") if item.made_on else "", item.note]
    return ", ".join(part for part in parts if part) or _("bottle number %(number)d") % {"number": item.pk}


def missing_trials(exam):
    """What the trials of the bottles leave to do before the sign-off, as sentences."""
    if exam.state != State.DRAWN:
        return []
    kb, rows = knowledge(exam.centre), trial_rows(exam)
    salts = sorted(set(exam.samples.values_list("salt", flat=True)))
    without = [salt for salt in salts if not any(row.usable for row in rows[salt])]
    doubtful = [salt for salt in salts if salt not in without and sum(r.usable for r in rows[salt]) > 1]
    return [*_untried(kb, without), *_unfilled(exam, kb, doubtful), *_badly_filled(exam, rows)]


def _untried(kb, salts):
    if salts:
        yield _("No bottle is tried on the scheme and settled of: %(salts)s.") % {"salts": _names(kb, salts)}


def _unfilled(exam, kb, salts):
    """Where two bottles are in use, it must be known which tube was filled from which."""
    unknown = set(exam.samples.filter(salt__in=salts, tube=None).values_list("salt", flat=True))
    if unknown:
        yield _("More than one bottle is in use; say which tubes were filled from which: %(salts)s.") % {
            "salts": _names(kb, sorted(unknown))}


def _badly_filled(exam, rows):
    """Tubes whose bottle is set aside, or not settled."""
    bad = [row.trial.pk for found in rows.values() for row in found if not row.usable]
    codes = sorted(exam.tubes.filter(trial__in=bad).values_list("label", flat=True))
    if codes:
        yield _("Filled from a bottle that is set aside or not settled; fill them anew: %(codes)s.") % {
            "codes": ", ".join(codes)}


def _names(kb, salts):
    return "; ".join(_name(kb, salt) for salt in salts)


def _name(kb, salt):
    return " + ".join(name_of(kb, part.salt.formula) for part in read_specimen(kb, salt).parts)


def frozen_for(sample):
    """What has the `record` and `edition` that hold for a sample: the trial of its bottle where that was
    amended, else what the draw froze for its salt; None where there is neither."""
    tube = Tube.objects.select_related("trial").filter(sample=sample).first()
    if tube and tube.trial.record:
        return tube.trial
    return ExpectedRecord.objects.filter(exam=sample.exam_id, salt=sample.salt).first()
