"""One inference: against what the expected observation says of ions, or the candidate's own."""

from dataclasses import dataclass
from fractions import Fraction

from grading.scoring.judge import FULL, NIL, Award


@dataclass(frozen=True)
class Basis:
    """What an observation points to and rules out, the ions present, the group that the test answers."""

    points_to: frozenset
    rules_out: frozenset
    present: frozenset
    group: str = ""
    seen: bool = True

    @property
    def says(self):
        """Whether anything can be inferred."""
        return bool(self.points_to or self.rules_out)


@dataclass(frozen=True)
class Verdict:
    """The share that claims earn on a basis, and why."""

    share: Fraction
    reason: str


def judge_inference(judge, expected, own, reading, observed):
    """The share for an inference: by the expected observation, else carried forward from the candidate's.

    `own` is the candidate's Basis, or None where it does not differ or was not read for sure.
    """
    if not expected.says:
        return Award(NIL, "Nothing can be inferred here; not marked.", counts=False)
    if reading.blank:
        return Award(NIL, "Nothing is written.")
    why = tuple(reading.why_unsure())
    if not reading.claims and not why:
        why = ("no ion or group is named",)
    verdict = verdict_on(judge, expected, reading.claims)
    carried = _carried(judge, expected, own, reading) if verdict.share < FULL else None
    if carried and carried.share > verdict.share:
        return Award(carried.share, carried.reason, reading.in_words(), (*why, *observed.why), carried=True)
    return Award(verdict.share, verdict.reason, reading.in_words(), why)


def _carried(judge, expected, own, reading):
    """What the claims earn on the candidate's own observation, times the share that is carried forward."""
    if own is None or not own.says or own == expected or not reading.sure:
        return None
    named = {ion for claim in reading.claims if not claim.absent for ion in claim.ions}
    if not (own.rules_out & expected.present or named & own.points_to or not own.seen or not expected.seen):
        return None
    verdict = verdict_on(judge, own, reading.claims)
    share = verdict.share * judge.marking.share("inference", "carried_fraction")
    reason = (
        f"Follows from the observation as it was written, so the error is carried forward: {verdict.reason}"
    )
    return Verdict(share, reason)


def verdict_on(judge, basis, claims):
    """The share that claims earn on a basis."""
    named = [claim for claim in claims if not claim.absent]
    absent = [claim for claim in claims if claim.absent]
    wrongly_absent = [claim for claim in absent if _denies_present(judge, basis, claim)]
    if named:
        return _named(judge, basis, named, wrongly_absent)
    if not absent:
        return Verdict(NIL, "No ion or group is named.")
    return _only_absent(judge, basis, absent, wrongly_absent)


def _named(judge, basis, named, wrongly_absent):
    right = [claim for claim in named if _right(judge, basis, claim)]
    wrong = [claim for claim in named if claim not in right] + wrongly_absent
    if not right or not _full(judge, basis, right):
        return Verdict(NIL, f"{_quoted(named)}: {_pointed(basis)}.")
    share, reason = FULL, f"{_quoted(right)}: {_pointed(basis)}"
    if wrong:
        share = less(judge.marking.inference["extra_ion"], len(right), len(wrong))
        reason += f"; {_quoted(wrong)} does not follow"
    too_firm = [c for c in right if c.firmness == "confirmed" and len(_alike(judge, basis, c)) > 1]
    if too_firm and share:
        share *= judge.marking.share("inference", "too_firm")
        reason += f"; “{too_firm[0].in_words()}” is too firm, several ions fit"
    return Verdict(share, f"{reason}.")


def less(rule, right, wrong):
    """What is left of a right answer beside wrong ones."""
    if rule == "cancels":
        return max(Fraction(right - wrong, right), NIL)
    return Fraction(1, 2) if rule == "halves" else FULL


def _full(judge, basis, right):
    rule = judge.marking.inference["full_when"]
    if rule == "any of the set":
        return True
    ions = {ion for claim in right for ion in _ions(judge, claim)}
    return (
        bool(ions & basis.present & basis.points_to) if rule == "names the ion" else basis.points_to <= ions
    )


def _right(judge, basis, claim):
    ions = _ions(judge, claim)
    if claim.group:
        return judge.marking.inference["group_counts"] and bool(ions & basis.points_to)
    return bool(ions & basis.points_to)


def _ions(judge, claim):
    return judge.group(claim.group) if claim.group else frozenset(claim.ions)


def _alike(judge, basis, claim):
    """The ions pointed to that are of the same kind as those of the claim."""
    kinds = {judge.kb.ions[ion].kind for ion in _ions(judge, claim)}
    return {ion for ion in basis.points_to if judge.kb.ions[ion].kind in kinds}


def _denies_present(judge, basis, claim):
    return bool(_ions(judge, claim) & basis.points_to) or (
        not claim.group and bool(set(claim.ions) & basis.present - basis.rules_out)
    )


def _only_absent(judge, basis, absent, wrong):
    right = [claim for claim in absent if claim not in wrong and _ruled_out(judge, basis, claim)]
    if not right:
        return Verdict(NIL, f"{_quoted(absent)}: {_excluded(basis)}.")
    said = frozenset(ion for claim in right for ion in _ions(judge, claim))
    if basis.points_to:
        share = judge.marking.share("inference", "only_absent")
        reason = f"{_quoted(right)} is right, but what may be present is not named ({_pointed(basis)})"
    elif judge.marking.inference["rules_out_when"] == "all" and not basis.rules_out <= said:
        share = Fraction(len(said & basis.rules_out), len(basis.rules_out))
        reason = f"{_quoted(right)} is right, but not all that are ruled out are named: {_excluded(basis)}"
    else:
        share, reason = FULL, f"{_quoted(right)} is right: {_excluded(basis)}"
    if wrong:
        share *= less(judge.marking.inference["extra_ion"], len(right), len(wrong))
        reason += f"; {_quoted(wrong)} is wrong"
    return Verdict(share, f"{reason}.")


def _ruled_out(judge, basis, claim):
    """Whether it is ruled out; the group of this very test is, where nothing was seen."""
    ions = _ions(judge, claim)
    if claim.group:
        own_group = judge.group(basis.group) if basis.group else frozenset()
        nothing_fell = not basis.seen and bool(ions) and ions <= own_group
        return judge.marking.inference["group_counts"] and (
            nothing_fell or bool(ions) and ions <= basis.rules_out
        )
    return bool(ions) and ions <= basis.rules_out


def _quoted(claims):
    return "“" + "; ".join(dict.fromkeys(claim.in_words() for claim in claims)) + "”"


def _pointed(basis):
    return f"the observation points to {', '.join(sorted(basis.points_to)) or 'no ion'}"


def _excluded(basis):
    return f"the observation rules out {', '.join(sorted(basis.rules_out)) or 'no ion'}"
