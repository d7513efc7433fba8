"""What another mark scheme would suggest for each record: made once, and kept as long as it is true."""

import hashlib
import json
from dataclasses import dataclass

from django.db.models import Prefetch

from examkit.knowledge import knowledge
from examkit.models import Sample
from grading.marking.parts import Suggestions, stored
from grading.marking.suggest import frozen_record, suggest, written_lines
from grading.models import Foreseen, Record

AT_ONCE = 15  # so many records are read anew while somebody waits for a page: about two seconds


@dataclass(frozen=True)
class Sight:
    """A record that was handed in; its suggestions by the other mark scheme where these are known."""

    record: Record
    digest: str
    fresh: Suggestions | None

    def known(self, key):
        """The suggestions by the mark scheme of this key, made now where they are not known."""
        return self.fresh or suggest(self.record, key)


def sights(exam, key):
    """Every record of the exam that was handed in, by code, as the mark scheme of this key sees it."""
    kept = Prefetch("foreseen", Foreseen.objects.filter(mark_scheme=key), to_attr="ahead")
    records = Record.objects.filter(sample__exam=exam, absent=False).exclude(paper={})
    records = records.order_by("sample__code").select_related("sample__exam__centre").defer(
        "sample__exam__draw")  # it holds the whole plan, and is read anew for every row
    basis = _Basis(exam, key)
    return [_sight(record, basis) for record in records.prefetch_related("lines", "awards", kept)]


def unknown(found):
    """Those whose suggestions by the other mark scheme are not known."""
    return [sight for sight in found if sight.fresh is None]


def foresee(exam, key, most=None):
    """Make what is not known yet, `most` records of it, and keep each as soon as it is made.

    It changes nothing that anybody sees of an exam, so the trail has no entry of it.
    """
    for sight in unknown(sights(exam, key))[:most]:
        Foreseen.objects.update_or_create(record=sight.record, mark_scheme=key, defaults={
            "digest": sight.digest, "paper": suggest(sight.record, key).as_json()})


def _sight(record, basis):
    digest, kept = basis.digest(record), next(iter(record.ahead), None)
    return Sight(record, digest, stored(kept.paper) if kept and kept.digest == digest else None)


class _Basis:
    """All that suggestions rest on, besides the words: rules, knowledge, what stood in each sitting."""

    def __init__(self, exam, key):
        kb = knowledge(exam.centre)
        self.said = [key, kb.edition, kb.mark_schemes[key]]
        self.sittings = {}
        for sitting, *sample in exam_samples(exam):
            self.sittings.setdefault(sitting, []).append(sample)

    def digest(self, record):
        """Changes with every word, rule and fact behind the suggestions for a record."""
        expected = frozen_record(record.sample).record
        said = [*self.said, self.sittings.get(record.sample.sitting_id), expected,
                written_lines(record, expected), record.cation, record.anion]
        return hashlib.sha256(json.dumps(said, sort_keys=True, default=str).encode()).hexdigest()


def exam_samples(exam):
    """(sitting, code, salt) of every sample."""
    return Sample.objects.filter(exam=exam).order_by("code").values_list("sitting", "code", "salt")
