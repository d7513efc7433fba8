"""The bridge from a stored record to the reading and scoring, and back to suggestions that can be stored."""

from examkit.knowledge import knowledge
from examkit.models import ExpectedRecord, Sample
from examkit.stockroom.trials.selectors import frozen_for
from grading.errors import NotPossible
from grading.marking.parts import Suggestions, split
from grading.scoring.consistency import consistency
from grading.scoring.mark_scheme import mark_scheme
from grading.scoring.paper import score_paper


def suggest(record, mark_scheme_key=""):
    """What the program suggests for a record, by the expected record that was frozen at the draw.

    `mark_scheme_key` is another mark scheme than the exam's, to see what it would give.
    """
    sample = record.sample
    kb = knowledge(sample.exam.centre)
    frozen = frozen_record(sample)
    scheme = mark_scheme(kb, mark_scheme_key or sample.exam.mark_scheme)
    lines = written_lines(record, frozen.record)
    result = {"cation": record.cation, "anion": record.anion}
    paper = score_paper(kb, scheme.key, frozen.record, lines, result)
    parts = split(paper, scheme, frozen.record, lines, result)
    matters = tuple(consistency(kb, paper, frozen.record, lines, other_specimens(sample)))
    return Suggestions(
        parts, frozen.edition, kb.edition, scheme.key, str(scheme.step_marks), dict(scheme.caps), matters
    )


def other_specimens(sample):
    """The frozen records of what else stood in this sitting, by the codes of the samples of each.

    They are those of the draw: what a bottle was amended for speaks for the sample's own specimen only, so
    that nobody's record is held against an oddity of another's bottle.
    """
    codes = {}
    others = Sample.objects.filter(exam=sample.exam_id, sitting=sample.sitting_id).exclude(salt=sample.salt)
    for salt, code in others.order_by("code").values_list("salt", "code"):
        codes.setdefault(salt, []).append(code)
    frozen = ExpectedRecord.objects.filter(exam=sample.exam_id, salt__in=codes)
    return {", ".join(codes[salt]): record for salt, record in frozen.values_list("salt", "record")}


def frozen_record(sample):
    """The expected record of a sample: as frozen at the draw, with what was amended for its bottle."""
    found = frozen_for(sample)
    if found is None:
        raise NotPossible(
            f"The draw froze no expected record for the sample {sample.code}. Draw the exam anew."
        )
    return found


def written_lines(record, expected):
    """A line for every test of the scheme, blank where nothing was written."""
    written = {line.test: line for line in record.lines.all()}
    return [
        {
            "test": line["test"],
            "observation": getattr(written.get(line["test"]), "observation", ""),
            "inference": getattr(written.get(line["test"]), "inference", ""),
            "chosen": getattr(written.get(line["test"]), "chosen", []),
        }
        for line in expected["lines"]
    ]
