"""The named cation and anion: right, of another charge, following from the record, or wrong."""

from dataclasses import dataclass
from fractions import Fraction

from examkit.chemistry.formula import parse, split_charge
from grading.reading.inference import read_inference
from grading.scoring.basis import less
from grading.scoring.judge import NIL, Award

LOOKALIKE = "a line of the record speaks for what is named, and others do not"


@dataclass(frozen=True)
class RecordSays:
    """What the candidate's own record points to, rules out and confirms: surely read lines together."""

    points_to: frozenset
    rules_out: frozenset
    confirmed: frozenset = frozenset()
    lines: tuple = ()  # what each line points to


def record_says(judge, scores):
    """The candidate's own record, from the lines that were read for sure."""
    sure = [score for score in scores if score.own.sure]
    confirming = [score for score in sure if judge.is_confirmation(score.test) and score.observation.share]
    return RecordSays(
        frozenset(ion for score in sure for ion in score.own.points_to),
        frozenset(ion for score in sure for ion in score.own.rules_out),
        frozenset(ion for score in confirming for ion in score.own.points_to),
        tuple(score.own.points_to for score in sure),
    )


def judge_results(judge, kind, written, present, record):
    """An award for each ion of this kind that is present, in their order.

    `written` are the texts of the cation box and of the anion box.
    """
    own, other = (written[kind], written["anion" if kind == "cation" else "cation"])
    readings = [read_inference(judge.words, judge.kb.ions, text) for text in (own, other)]
    if readings[0].aimed:
        reason = f"“{readings[0].aimed[0]}” speaks to the marker; it earns nothing."
        return [Award(NIL, reason, "", tuple(readings[0].why_unsure())) for _ion in present]
    named = _bare(judge, kind, own) or _named(judge, kind, readings[0]) or _named(judge, kind, readings[1])
    mine = _bare(judge, kind, own) or _named(judge, kind, readings[0])
    reading = readings[0] if mine or not named else readings[1]
    groups = [claim.group for claim in readings[0].claims if claim.group and not claim.absent]
    if not named and not groups and readings[0].blank:
        return [Award(NIL, "Nothing is written.", blank=True) for _ion in present]
    found = bool(named or (groups and kind == "cation"))
    why = tuple(reading.why_unsure()) or (() if found else (f"no {kind} was recognised in “{own.strip()}”",))
    box = _Box(judge, tuple(present), tuple(named), tuple(groups) if kind == "cation" else (), record)
    return [_award(box, ion, reading.in_words(), why) for ion in present]


def named_ions(judge, kind, written):
    """The ions of a kind that are surely meant in its box, without those that share a name."""
    reading = read_inference(judge.words, judge.kb.ions, written[kind])
    named = _bare(judge, kind, written[kind]) or _named(judge, kind, reading)
    return tuple(next(iter(ions)) for ions in named if len(ions) == 1)


def _award(box, ion, read, why):
    share, reason, more, carried = box.share(ion)
    return Award(share, reason, read, (*why, *more), carried)


def _named(judge, kind, reading):
    """The ions of this kind that are named as present, each claim a set (a shared name means either)."""
    found = []
    for claim in reading.claims:
        ions = frozenset(ion for ion in claim.ions if judge.kb.ions[ion].kind == kind)
        if ions and not claim.absent and ions not in found:
            found.append(ions)
    return found


def _bare(judge, kind, text):
    """The ion whose symbol stands alone in its box, though it could be a word ("I")."""
    ions = (key for key, ion in judge.kb.ions.items() if ion.kind == kind)
    return [
        frozenset({ion}) for ion in ions if len(text.strip()) == 1 and split_charge(ion)[0] == text.strip()
    ]


@dataclass(frozen=True)
class _Box:
    """What was named in one box, against the ions that are present."""

    judge: object
    present: tuple
    named: tuple
    groups: tuple
    record: RecordSays

    @property
    def said(self):
        """What was named, in words."""
        words = [" or ".join(sorted(ions)) for ions in self.named] + [f"group {g}" for g in self.groups]
        return ", ".join(words) or "nothing"

    @property
    def right(self):
        """The ions present that are named, each for itself."""
        return [ion for ion in self.present if frozenset({ion}) in self.named]

    @property
    def extra(self):
        """What was named and is not present."""
        return [ions for ions in self.named if not ions & set(self.present)]

    @property
    def beyond(self):
        """How many wrong ions were named beyond those that stand in the place of a missed one."""
        missed = [ion for ion in self.present if not any(ion in ions for ions in self.named)]
        return max(len(self.extra) - len(missed), 0)

    def share(self, ion):
        """(share, reason, what a person should look at, carried) for one ion that is present."""
        if ion in self.right:
            return self._right(ion)
        if any(ion in ions for ions in self.named):
            share = self._rule("other_charge")
            return (
                share,
                f"“{self.said}” does not say which ion; it is {ion}.",
                ("the name fits several ions",),
                False,
            )
        return self._missed(ion)

    def _rule(self, key):
        return self.judge.marking.share("result_rules", key)

    def _right(self, ion):
        share, reason = Fraction(1), f"{ion} is right"
        if ion not in self.record.points_to:
            share *= self._rule("without_record")
            reason += " (no line of the record that was read for sure points to it)"
        if ion not in self.record.confirmed and self._rule("without_confirmation") < 1:
            share *= self._rule("without_confirmation")
            reason += ", but its confirmatory test is not rightly recorded"
        if self.beyond:
            wrong = ", ".join(" or ".join(sorted(ions)) for ions in self.extra)
            share *= self._beside_wrong(ion)
            reason += f"; {wrong} was named beside it"
        return share, f"{reason}.", (), False

    def _beside_wrong(self, ion):
        """What is left of a right ion beside wrong ones: each cancels a right one, the last first."""
        rule, extra = self.judge.marking.result_rules["extra_ion"], self.beyond
        if rule == "cancels":
            return NIL if ion in self.right[-extra:] else Fraction(1)
        return less(rule, len(self.right), extra)

    def _missed(self, ion):
        """A part for what is near: another charge, what the own record supports, the right group."""
        kept = [ions for ions in self.extra if len(ions) == 1]
        wrong = next(iter(kept[0])) if len(kept) == 1 and len(self.extra) == 1 else None
        nothing = (NIL, f"“{self.said}” is wrong; it is {ion}.", (), False)
        if wrong is None:
            return self._group_named(ion) or nothing
        if same_element(wrong, ion) and self._rule("other_charge"):
            reason = f"“{self.said}” is the right element with another charge; it is {ion}."
            return self._rule("other_charge"), reason, (), False
        if self._supported(wrong) and ion in self.record.rules_out:
            share = self._rule("carried_fraction")
            reason = (
                f"“{self.said}” is wrong; it is {ion}. But it follows from the record as written, which "
                f"rules out {ion} and admits {wrong}, so the error is carried forward."
            )
            return share, reason, (), bool(share)
        if self._supported(wrong) and self._same_group(wrong, ion) and self._rule("right_group"):
            reason = (
                f"“{self.said}” is wrong; it is {ion}. But it is of the same group, and the record admits it."
            )
            return self._rule("right_group"), reason, (), False
        if self._rule("right_group") and self._speaks_for(wrong, ion):
            reason = f"“{self.said}” is wrong; it is {ion}. But a line of the record speaks for it."
            return self._rule("right_group"), reason, (LOOKALIKE,), False
        return nothing

    def _speaks_for(self, wrong, ion):
        """Whether lines tell the ion named from the one present, and not many more tell it otherwise."""
        lines = self.record.lines
        for_it = sum(wrong in told and ion not in told for told in lines)
        against = sum(ion in told and wrong not in told for told in lines)
        return bool(for_it) and 2 * for_it >= against

    def _group_named(self, ion):
        right = [group for group in self.groups if ion in self.judge.group(group)]
        if not right or self.named or len(right) < len(self.groups):
            return None
        return self._rule("right_group"), f"“{self.said}” is the right group; it is {ion}.", (), False

    def _supported(self, ion):
        return ion in self.record.points_to and ion not in self.record.rules_out

    def _same_group(self, one, other):
        return any({one, other} <= set(group["cations"]) for group in self.judge.plan.groups.values())


def same_element(one, other):
    """Whether two ions are of the same elements, with another charge."""
    return parse(one).elements == parse(other).elements and parse(one).charge != parse(other).charge
