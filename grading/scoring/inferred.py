"""One inference: against what the expected observation says of ions, or the candidate's own."""

from dataclasses import dataclass
from fractions import Fraction

from examkit.chemistry.formula import parse
from grading.reading.inference import OWN_GROUP
from grading.scoring.judge import FULL, NIL, Award
from grading.scoring.parts import WEAK


@dataclass(frozen=True)
class Basis:
    """What an observation points to and rules out, the ions present, the group that the test answers."""

    points_to: frozenset
    rules_out: frozenset
    present: frozenset
    group: str = ""
    seen: bool = True
    gases: frozenset = frozenset()
    roughly: frozenset = frozenset()  # what it would point to if the shade did not count

    @property
    def says(self):
        """Whether anything can be inferred."""
        return bool(self.points_to or self.rules_out)


@dataclass(frozen=True)
class Verdict:
    """The share that claims earn on a basis, and why."""

    share: Fraction
    reason: str
    weak: str = ""  # what another examiner might see otherwise


MAY_BE_OTHERWISE = "whether it follows hangs on how the observation is taken"
SHADE = "it hangs on the shade of the colour"
FAMILY = "only a family is named"
SILENT = "ions are named that may well show nothing here"
CARRIED = "Follows from the observation as it was written, so the error is carried forward: "


def judge_inference(judge, expected, own, reading, observed, carry=True):
    """The share for an inference: by the expected observation, or carried forward from the candidate's.

    `own` is the candidate's Basis, or None where nothing was read; `observed` the award for the observation.
    `carry` is False where the mark scheme lets no further error be carried.
    """
    if not expected.says:
        return Award(NIL, "Nothing can be inferred here; not marked.", counts=False)
    if reading.blank:
        return Award(NIL, "Nothing is written.")
    why = tuple(reading.why_unsure())
    if reading.aimed:
        return Award(NIL, f"“{reading.aimed[0]}” speaks to the marker; it earns nothing.", "", why)
    follows_own = judge.marking.inference["follows"] == "own"
    if observed.blank and follows_own:
        return Award(
            NIL, "Nothing was recorded that it could follow from.", reading.in_words(), (*why, *observed.why)
        )
    if not reading.claims and not why:
        why = ("no ion or group is named",)
    choose = _by_own if follows_own else _by_expected
    verdict, carried, other = choose(judge, expected, own, reading, observed, carry)
    if other is not None and other.share != verdict.share:
        why = (*why, *observed.why) or (MAY_BE_OTHERWISE,)
    if not verdict.share and not why and own is not None and _hangs_on_shade(own, reading):
        why, others = (SHADE,), ((FULL, "If the shade is passed over."),)
        return Award(verdict.share, verdict.reason, reading.in_words(), why, carried, other=others)
    if verdict.weak and not why:
        why, others = (verdict.weak,), ((FULL, "If what is named is taken to be enough."),)
        return Award(verdict.share, verdict.reason, reading.in_words(), why, carried, other=others)
    others = ((other.share, other.reason),) if other is not None and why else ()
    return Award(verdict.share, verdict.reason, reading.in_words(), why, carried, other=others)


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


def _by_own(judge, expected, own, reading, observed, carry):
    """What the candidate's own observation implies: a right ion that does not follow from it earns nothing.

    What was seen rightly, or only left unsaid in part, is judged by the expected observation, too. The second
    verdict is what it would earn if the observation were to be taken the other way.
    """
    by_key = verdict_on(judge, expected, reading.claims)
    if own is None or not own.says:
        nothing = Verdict(NIL, f"{_quoted(reading.claims)} does not follow from what was recorded.")
        if observed.share or observed.why:
            return by_key, False, nothing if observed.share < FULL else None
        return nothing, False, by_key
    by_own = _carried(judge, own, reading, carry)
    if by_key.share and WEAK["event"] in observed.why:
        return by_key, False, Verdict(NIL, f"{_quoted(reading.claims)} follows from nothing that was named.")
    if observed.share and by_key.share >= by_own.share:
        return by_key, False, by_own if observed.why else None
    if observed.share:
        return by_own, True, by_key
    if not by_own.share and by_key.share:
        quoted = _quoted(reading.claims)
        by_own = Verdict(NIL, f"{quoted} does not follow from the observation as it was written.")
    return by_own, bool(by_own.share), by_key if observed.why or not by_own.share else None


def _carried(judge, own, reading, carry):
    """What the claims earn on the candidate's own observation, times the share that is carried forward."""
    if not carry or judge.marking.inference["carried"] == "none":
        return Verdict(NIL, "It follows only from a wrong observation, and this is not carried forward.")
    verdict = verdict_on(judge, own, reading.claims)
    share = verdict.share * judge.marking.share("inference", "carried_fraction")
    return Verdict(share, f"{CARRIED if share else ''}{verdict.reason}")


def verdict_on(judge, basis, claims):
    """The share that claims earn on a basis."""
    claims = [claim for claim in claims if not _made_here(judge, basis, claim, claims)]
    gases = [claim for claim in claims if _only_gas(basis, claim)]
    claims = [claim for claim in claims if claim not in gases and (claim.ions or claim.group)]
    if gases and not claims:
        return _gas_named(judge, basis, gases)
    named = [claim for claim in claims if not claim.absent]
    absent = [claim for claim in claims if claim.absent]
    wrongly_absent = [claim for claim in absent if _denies_present(judge, basis, claim)]
    if named:
        choice = [claim for claim in wrongly_absent if _chosen_against(basis, claim, named)]
        wrongly_absent = [claim for claim in wrongly_absent if claim not in choice]
        return _named(judge, basis, named, absent, wrongly_absent)
    if not absent:
        return Verdict(NIL, "No ion or group is named.")
    return _only_absent(judge, basis, absent, wrongly_absent)


def _made_here(judge, basis, claim, claims):
    """Whether it names what the test makes of an ion that is named, too: "MnO4-, so Mn2+"."""
    syllabus = {*judge.plan.cations, *judge.plan.anions}
    if claim.absent or len(claim.ions) != 1 or syllabus & set(claim.ions):
        return False
    named = {ion for other in claims if not other.absent for ion in other.ions} & basis.points_to & syllabus
    metals = [dict(parse(ion).elements).keys() for ion in named if judge.kb.ions[ion].kind == "cation"]
    return any(metal <= dict(parse(claim.ions[0]).elements).keys() for metal in metals)


def _chosen_against(basis, claim, named):
    """Whether it denies ions that are not there beside one that is: "Sr2+, not Ba2+" is a choice."""
    chosen = {ion for other in named for ion in other.ions} & basis.present & basis.points_to
    return bool(chosen) and not claim.group and not set(claim.ions) & basis.present


def _only_gas(basis, claim):
    """Whether a claim names a gas: one that is no ion, or that is the gas of this very test."""
    return bool(claim.gas) and not claim.absent and (not claim.ions or claim.gas in basis.gases)


def _gas_named(judge, basis, gases):
    """The gas alone where an ion could be named."""
    right = [claim for claim in gases if claim.gas in basis.gases]
    said = " and ".join(claim.gas for claim in gases)
    if not right or not basis.points_to:
        return Verdict(NIL, f"“{said}” names a gas and no ion.")
    return Verdict(judge.marking.share("inference", "gas_only"), f"“{said}” is the gas, but no ion is named.")


def _beside_what_is_out(judge, basis, named, absent, wrongly_absent):
    """Whether nothing was seen and ions are rightly excluded, not those named: "not Pb2+, may be Na+"."""
    free = all(not _ions(judge, claim, basis) & basis.rules_out for claim in named)
    return free and bool(absent) and not wrongly_absent


def _named(judge, basis, named, absent, wrongly_absent):
    right = [claim for claim in named if _right(judge, basis, claim)]
    wrong = [claim for claim in named if claim not in right] + wrongly_absent
    nothing = not right and not basis.points_to
    if nothing and _beside_what_is_out(judge, basis, named, absent, wrongly_absent):
        return _only_absent(judge, basis, absent, wrongly_absent)
    if not right or not _full(judge, basis, right):
        silent = nothing and all(not _ions(judge, claim, basis) & basis.rules_out for claim in named)
        return Verdict(NIL, f"{_quoted(named)}: {_pointed(basis)}.", SILENT if silent else "")
    share, reason = FULL, f"{_quoted(right)}: {_pointed(basis)}"
    general = _general(judge, basis, right)
    if general:
        share, reason = general, f"{reason}; an ion could be named"
    if wrong:
        share *= less(judge.marking.inference["extra_ion"], len(right), len(wrong))
        reason += f"; {_quoted(wrong)} does not follow"
    too_firm = [c for c in right if c.firmness == "confirmed" and len(_alike(judge, basis, c)) > 1]
    if too_firm and share:
        share *= judge.marking.share("inference", "too_firm")
        reason += f"; “{too_firm[0].in_words()}” is too firm, several ions fit"
    if general and all(_cannot_be_told(judge, basis, claim) for claim in right):
        share, reason = share / general, f"{_quoted(right)}: {_pointed(basis)}"
        return Verdict(share, f"{reason}.", FAMILY)
    weak = FAMILY if general and any(c.family for c in right) else ""
    return Verdict(share, f"{reason}.", weak)


def _cannot_be_told(judge, basis, claim):
    """Whether all ions of a family are pointed to, and others of their kind besides: none could be named."""
    return claim.family and set(claim.ions) < _alike(judge, basis, claim)


def _general(judge, basis, right):
    """The share where only a group or a family is named though ions could be, or None."""
    if any(claim.ions and not claim.family for claim in right):
        return None
    kind = "group_only" if any(claim.group for claim in right) else "family_only"
    share = judge.marking.share("inference", kind)
    return share if share < FULL else None


def less(rule, right, wrong):
    """What is left of a right answer beside wrong ones."""
    if rule == "one of several halves":
        return Fraction(1, 2) if wrong <= right else NIL
    if rule == "cancels":
        return max(Fraction(right - wrong, right), NIL)
    return Fraction(1, 2) if rule == "halves" else FULL


def _full(judge, basis, right):
    rule = judge.marking.inference["full_when"]
    if rule == "any of the set":
        return True
    ions = {ion for claim in right for ion in _ions(judge, claim, basis)}
    return (
        bool(ions & basis.present & basis.points_to) if rule == "names the ion" else basis.points_to <= ions
    )


def _right(judge, basis, claim):
    ions = _ions(judge, claim, basis)
    if claim.group:
        return judge.marking.inference["group_counts"] and bool(ions & basis.points_to)
    return bool(ions & basis.points_to)


def _ions(judge, claim, basis=None):
    if claim.group == OWN_GROUP:
        return judge.group(basis.group) if basis and basis.group else frozenset()
    return judge.group(claim.group) if claim.group else frozenset(claim.ions)


def _alike(judge, basis, claim):
    """The ions pointed to that are of the same kind as those of the claim."""
    kinds = {judge.kb.ions[ion].kind for ion in _ions(judge, claim, basis)}
    return {ion for ion in basis.points_to if judge.kb.ions[ion].kind in kinds}


def _denies_present(judge, basis, claim):
    if claim.family:
        return bool(set(claim.ions) & basis.present & basis.points_to)
    if len(claim.ions) > 1 and not claim.salt:  # a name that two ions share
        return set(claim.ions) <= basis.points_to
    return bool(_ions(judge, claim, basis) & basis.points_to) or (
        not claim.group and bool(set(claim.ions) & basis.present - basis.rules_out)
    )


def _only_absent(judge, basis, absent, wrong):
    right = [claim for claim in absent if claim not in wrong and _ruled_out(judge, basis, claim)]
    if not right:
        return Verdict(NIL, f"{_quoted(absent)}: {_excluded(basis)}.")
    said = frozenset(ion for claim in right for ion in _ions(judge, claim, basis))
    if basis.points_to and not _says_little(judge, basis):
        share = judge.marking.share("inference", "only_absent")
        reason = f"{_quoted(right)} is right, but what may be present is not named ({_pointed(basis)})"
        return Verdict(share if not wrong else NIL, f"{reason}.", "only what is absent is named")
    elif judge.marking.inference["rules_out_when"] == "all" and not basis.rules_out <= said:
        share = Fraction(len(said & basis.rules_out), len(basis.rules_out))
        reason = f"{_quoted(right)} is right, but not all that are ruled out are named: {_excluded(basis)}"
    else:
        share, reason = FULL, f"{_quoted(right)} is right: {_excluded(basis)}"
    if wrong:
        share *= less(judge.marking.inference["extra_ion"], len(right), len(wrong))
        reason += f"; {_quoted(wrong)} is wrong"
    return Verdict(share, f"{reason}.")


def _says_little(judge, basis):
    """Whether so many ions are pointed to that only those ruled out are worth naming ("white: no copper")."""
    for kind, syllabus in (("cation", judge.plan.cations), ("anion", judge.plan.anions)):
        pointed = {ion for ion in basis.points_to if judge.kb.ions[ion].kind == kind}
        if pointed and 2 * len(pointed) < len(syllabus):
            return False
    return True


def _ruled_out(judge, basis, claim):
    """Whether it is ruled out; the group of this very test is, where nothing was seen."""
    ions = _ions(judge, claim, basis)
    if claim.group:
        own_group = judge.group(basis.group) if basis.group else frozenset()
        same = bool(ions) and (ions <= own_group or basis.group.startswith(claim.group))
        nothing_fell = not basis.seen and same
        return judge.marking.inference["group_counts"] and (
            nothing_fell or bool(ions) and ions <= basis.rules_out
        )
    if claim.family:  # "no transition metal": some of them hardly show
        return 2 * len(ions & basis.rules_out) >= len(ions)
    if len(ions) > 1 and not claim.salt:
        return bool(ions & basis.rules_out)
    return bool(ions) and ions <= basis.rules_out


def _quoted(claims):
    return "“" + "; ".join(dict.fromkeys(claim.in_words() for claim in claims)) + "”"


def _pointed(basis):
    return f"the observation points to {', '.join(sorted(basis.points_to)) or 'no ion'}"


def _excluded(basis):
    return f"the observation rules out {', '.join(sorted(basis.rules_out)) or 'no ion'}"
