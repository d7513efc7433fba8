"""The named cation and anion: right, of another charge, following from the record, or wrong."""

from dataclasses import dataclass
from fractions import Fraction

from examkit.chemistry.formula import parse
from grading.reading.inference import read_inference
from grading.scoring.inferred import less
from grading.scoring.judge import NIL, Award


@dataclass(frozen=True)
class RecordSays:
    """What the candidate's own record points to and rules out, all surely read lines together."""

    points_to: frozenset
    rules_out: frozenset


def record_says(scores):
    """The candidate's own record, from the lines that were read for sure."""
    return RecordSays(
        frozenset(ion for score in scores if score.own.sure for ion in score.own.points_to),
        frozenset(ion for score in scores if score.own.sure for ion in score.own.rules_out),
    )


def judge_result(judge, kind, written, present, record):
    """The share for one kind of ion; `written` are the texts of the cation box and of the anion box."""
    own, other = (
        (written["cation"], written["anion"]) if kind == "cation" else (written["anion"], written["cation"])
    )
    readings = [read_inference(judge.words, judge.kb.ions, text) for text in (own, other)]
    aimed = readings[0].aimed
    if aimed:
        return Award(
            NIL, f"“{aimed[0]}” speaks to the marker; it earns nothing.", "", tuple(readings[0].why_unsure())
        )
    named = _named(judge, kind, readings[0]) or _named(judge, kind, readings[1])
    reading = readings[0] if _named(judge, kind, readings[0]) or not named else readings[1]
    if not named and readings[0].blank:
        return Award(NIL, "Nothing is written.")
    why = tuple(reading.why_unsure()) or (() if named else (f"no {kind} was recognised in “{own.strip()}”",))
    share, reason, more, carried = _share(judge, named, tuple(present), record)
    return Award(share, reason, reading.in_words(), (*why, *more), carried)


def _named(judge, kind, reading):
    """The ions of this kind that are named as present, each claim a set (a shared name means either)."""
    found = []
    for claim in reading.claims:
        ions = frozenset(ion for ion in claim.ions if judge.kb.ions[ion].kind == kind)
        if ions and not claim.absent and ions not in found:
            found.append(ions)
    return found


def _share(judge, named, present, record):
    """(share, reason, what a person should look at, carried)."""
    rules = judge.marking.result_rules
    right = [ion for ion in present if any(ions == {ion} for ions in named)]
    unclear = [
        ion for ion in present if ion not in right and any(ion in ions and len(ions) > 1 for ions in named)
    ]
    extra = [ions for ions in named if not ions & set(present)]
    said = ", ".join(" or ".join(sorted(ions)) for ions in named) or "nothing"
    if right:
        return _right(judge, right, extra, present, record, said)
    if unclear:
        share = judge.marking.share("result_rules", "other_charge")
        return (
            share,
            f"“{said}” does not say which ion; it is {_and(present)}.",
            ("the name fits several ions",),
            False,
        )
    alike = len(extra) == 1 and len(present) == 1 and any(same_element(ion, present[0]) for ion in extra[0])
    if alike and Fraction(rules["other_charge"]):
        share = judge.marking.share("result_rules", "other_charge")
        return share, f"“{said}” is the right element with another charge; it is {_and(present)}.", (), False
    if _follows(extra, present, record):
        share = judge.marking.share("result_rules", "carried_fraction")
        reason = (
            f"“{said}” is wrong; it is {_and(present)}. But it follows from the record as written, which "
            f"rules out {_and(present)} and admits {said}, so the error is carried forward."
        )
        return share, reason, (), bool(share)
    return NIL, f"“{said}” is wrong; it is {_and(present)}.", (), False


def _right(judge, right, extra, present, record, said):
    share, reason = Fraction(len(right), len(present)), f"{_and(right)} is right"
    if not set(right) & record.points_to:
        share *= judge.marking.share("result_rules", "without_record")
        reason += " (no line of the record that was read for sure points to it)"
    if extra:
        share *= less(judge.marking.result_rules["extra_ion"], len(right), len(extra))
        wrong = ", ".join(" or ".join(sorted(ions)) for ions in extra)
        reason += f", but {wrong} was named beside it"
    return share, f"{reason}.", (), False


def _follows(extra, present, record):
    """Whether one wrong ion follows: the record rules out the ion present and admits the one named."""
    if len(extra) != 1 or len(present) != 1 or len(extra[0]) != 1:
        return False
    named = next(iter(extra[0]))
    return present[0] in record.rules_out and named in record.points_to and named not in record.rules_out


def same_element(one, other):
    """Whether two ions are of the same elements, with another charge."""
    return parse(one).elements == parse(other).elements and parse(one).charge != parse(other).charge


def _and(ions):
    return " and ".join(ions)
