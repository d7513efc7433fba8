"""Importing a file of records: all of it, or nothing."""

from django.db import transaction
from django.utils.translation import gettext as _

from examkit import audit
from examkit.errors import ChangedMeanwhile
from examkit.models import Sample
from grading.entry.files.compare import compare
from grading.errors import GradingError
from grading.marking.parts import RESULT
from grading.marking.services import about, record_for_writing
from grading.marking.writing import line_words, result_words, suggested
from grading.models import RecordLine, Way


class FileRefused(GradingError):
    """The file cannot be imported as it stands; `problems` are all of them."""

    def __init__(self, problems):
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, problems)))


@transaction.atomic
def records_import(*, exam, entries, seen, name, who):
    """Write what a file says into the records of an exam.

    `seen` is the digest of the comparison that was shown: records that changed since are not overwritten.
    """
    difference = compare(exam, entries)
    if difference.problems:
        raise FileRefused(difference.problems)
    if difference.digest != seen:
        raise ChangedMeanwhile(_("Records of this exam were changed since the file was read. Choose it "
                                 "again to see what it would change now."))
    samples = {sample.code: sample for sample in Sample.objects.filter(
        exam=exam, code__in=difference.codes).select_related("exam__centre").defer("exam__draw")}
    for code in difference.codes:
        changes = [change for change in difference.changes if change.code == code]
        _write(samples[code], changes, name, who)
    return difference


def _write(sample, changes, name, who):
    record = record_for_writing(sample)
    if not record.paper:
        record.way = Way.FILE
    for change in changes:
        _write_change(record, change)
    record.save()
    suggested(record, who)
    said = {change.test: [list(change.now), list(change.then)] for change in changes}
    audit.record(centre=sample.exam.centre, who=who, what="record imported", about=about(sample),
                 detail={"file": name, "lines": said})


def _write_change(record, change):
    if change.test == RESULT:
        row, new = record, result_words(*change.then)
    else:
        row, _new = RecordLine.objects.get_or_create(record=record, test=change.test, defaults={"version": 0})
        new = line_words(row, *change.then)
    for field, value in new.items():
        setattr(row, field, value)
    row.version += 1
    if row is not record:
        row.save()
