"""One inference: against what the expected observation says of ions, or the candidate's own."""

from dataclasses import replace

from grading.reading.around import DASHES
from grading.scoring.basis import Verdict, quoted
from grading.scoring.judge import FULL, NIL, Award
from grading.scoring.parts import WEAK
from grading.scoring.verdicts import verdict_on

MAY_BE_OTHERWISE = "whether it follows hangs on how the observation is taken"
DENIAL = "what is denied can be taken in two ways"
SHADE = "it hangs on the shade of the colour"
CARRIED = "Follows from the observation as it was written, so the error is carried forward: "


def judge_inference(judge, expected, own, reading, observed, carry=True, understood=True):
    """The share for an inference: by the expected observation, or carried forward from the candidate's.

    `own` is the candidate's Basis, or None where nothing was read; `observed` the award for the observation.
    `carry` is False where the mark scheme lets no further error be carried; `understood` where what was seen
    was told in words that could not be read.
    """
    if not expected.says:
        return _unasked(expected, reading)
    if reading.blank:
        return Award(NIL, "Nothing is written.")
    if not reading.text.strip(DASHES + " "):
        return Award(NIL, "A dash infers nothing.")
    why = tuple(reading.why_unsure())
    if reading.aimed:
        return Award(NIL, f"“{reading.aimed[0]}” speaks to the marker; it earns nothing.", "", why)
    follows_own = judge.marking.inference["follows"] == "own"
    if observed.blank and follows_own and understood:
        return Award(
            NIL, "Nothing was recorded that it could follow from.", reading.in_words(), (*why, *observed.why)
        )
    if reading.undecided and not reading.claims:
        return Award(NIL, f"“{reading.undecided[0]}” says nothing either way.", "", why)
    if not [c for c in reading.claims if not c.unnamed or expected.group] and not why:
        why = ("no ion or group is named",)
    choose = _by_own if follows_own else _by_expected
    if not understood:
        choose = _by_key
    verdict, carried, other = choose(judge, expected, own, reading, observed, carry)
    if other is not None and other.share != verdict.share:
        why = (*why, *observed.why) or (MAY_BE_OTHERWISE,)
    if reading.by_words and not why:
        again = replace(reading, claims=reading.by_words)
        second = choose(judge, expected, own, again, observed, carry)[0]
        if second.share != verdict.share:
            why, other = (DENIAL,), second
    if not verdict.share and not why and own is not None and _hangs_on_shade(own, reading):
        why, others = (SHADE,), ((FULL, "If the shade is passed over."),)
        return Award(verdict.share, verdict.reason, reading.in_words(), why, carried, other=others)
    if verdict.weak and not why:
        why, others = (verdict.weak,), ((FULL, "If what is named is taken to be enough."),)
        return Award(verdict.share, verdict.reason, reading.in_words(), why, carried, other=others)
    others = ((other.share, other.reason),) if other is not None and why else ()
    return Award(verdict.share, verdict.reason, reading.in_words(), why, carried, other=others)


def _unasked(expected, reading):
    """What is inferred where nothing need be: not marked, and right as far as it speaks of what is there."""
    there = any(set(claim.ions) & expected.present for claim in reading.claims if not claim.absent)
    denied = any(
        set(claim.ions) <= expected.present for claim in reading.claims if claim.absent and claim.ions
    )
    share = FULL if there and not denied and not reading.aimed else NIL
    reason = "Nothing need be inferred here; not marked."
    return Award(share, reason, reading.in_words(), counts=False)


def _hangs_on_shade(own, reading):
    """Whether an ion is named that another shade of the same colour points to."""
    named = {ion for claim in reading.claims if not claim.absent for ion in claim.ions}
    return bool(named & own.roughly)


def _by_expected(judge, expected, own, reading, observed, carry):
    """What the right observation implies; what follows from the candidate's own earns the carried share."""
    verdict = verdict_on(judge, expected, reading.claims)
    if verdict.share == FULL or own is None or not _may_carry(own, expected, reading):
        return verdict, False, None
    carried = _carried(judge, own, reading, carry)
    if carried.share <= verdict.share:
        return verdict, False, None
    return carried, True, verdict if observed.why else None


def _may_carry(own, expected, reading):
    named = {ion for claim in reading.claims if not claim.absent for ion in claim.ions}
    differs = own.rules_out & expected.present or named & own.points_to
    return own.says and own != expected and (differs or not own.seen or not expected.seen)


def _by_key(judge, expected, own, reading, observed, carry):
    """What the right observation implies, where nobody but a person can tell what was seen."""
    by_key = verdict_on(judge, expected, reading.claims)
    by_own = _carried(judge, own, reading, carry) if own is not None else None
    if by_own is not None and by_own.share > by_key.share:
        return by_own, True, by_key
    return by_key, False, Verdict(NIL, f"{quoted(reading.claims)} does not follow from what was recorded.")


def _by_own(judge, expected, own, reading, observed, carry):
    """What the candidate's own observation implies: a right ion that does not follow from it earns nothing.

    What was seen rightly, or only left unsaid in part, is judged by the expected observation, too. The second
    verdict is what it would earn if the observation were to be taken the other way.
    """
    by_key = verdict_on(judge, expected, reading.claims)
    if own is None or not (own.says or own.suits):
        nothing = Verdict(NIL, f"{quoted(reading.claims)} does not follow from what was recorded.")
        if observed.share or observed.why:
            return by_key, False, nothing if observed.share < FULL else None
        return nothing, False, by_key
    by_own = _carried(judge, own, reading, carry)
    if own.exact:  # nothing follows from what is right that would not follow from what is expected
        return by_key, False, by_own if by_own.share > by_key.share else None
    if by_key.share and WEAK["event"] in observed.why:
        return by_key, False, Verdict(NIL, f"{quoted(reading.claims)} follows from nothing that was named.")
    if not by_own.share and not by_key.share and _suits(own, reading):
        why = f"{quoted(reading.claims)} goes with what was recorded, as far as it was told."
        return Verdict(FULL, CARRIED + why), True, by_own
    if observed.share and by_key.share >= by_own.share:
        return by_key, False, by_own if observed.why else None
    if observed.share:
        return by_own, True, by_key
    if not by_own.share and _suits(own, reading):
        why = f"{quoted(reading.claims)} goes with what was recorded, as far as it was told."
        return Verdict(FULL, CARRIED + why), True, by_own
    if not by_own.share and by_key.share:
        named = quoted(reading.claims)
        by_own = Verdict(NIL, f"{named} does not follow from the observation as it was written.")
    return by_own, bool(by_own.share), by_key if observed.why or not by_own.share else None


def _suits(own, reading):
    """Whether all ions that are named as there go with what was recorded, by some account of them."""
    named = {ion for claim in reading.claims if not claim.absent for ion in claim.ions}
    return bool(named) and named <= own.suits


def _carried(judge, own, reading, carry):
    """What the claims earn on the candidate's own observation, times the share that is carried forward."""
    if not carry or judge.marking.inference["carried"] == "none":
        return Verdict(NIL, "It follows only from a wrong observation, and this is not carried forward.")
    verdict = verdict_on(judge, own, reading.claims)
    share = verdict.share * judge.marking.share("inference", "carried_fraction")
    return Verdict(share, f"{CARRIED if share else ''}{verdict.reason}")
