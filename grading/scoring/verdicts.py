"""What claims about ions and groups earn against what an observation points to and rules out."""

from dataclasses import dataclass
from fractions import Fraction

from examkit.chemistry.formula import parse
from grading.reading.claims import OWN_GROUP
from grading.scoring.judge import FULL, NIL

FAMILY = "only a family is named"
SILENT = "ions are named that may well show nothing here"


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
    suits: frozenset = frozenset()  # ions named that by some account show it
    may_show: frozenset = frozenset()  # ions of which something may ever be seen in this test
    exact: bool = False  # whether it is an observation that is just what is expected

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
        return Verdict(NIL, f"{quoted(named)}: {_pointed(basis)}.", SILENT if silent else "")
    share, reason = FULL, f"{quoted(right)}: {_pointed(basis)}"
    general = _general(judge, basis, right)
    if general:
        share, reason = general, f"{reason}; an ion could be named"
    if wrong:
        left = less(judge.marking.inference["extra_ion"], len(right), len(wrong))
        if not left and _is_the_group(judge, basis, named):
            left = judge.marking.share("inference", "group_only")
        share *= left
        reason += f"; {quoted(wrong)} does not follow"
    too_firm = [c for c in right if c.firmness == "confirmed" and len(_alike(judge, basis, c)) > 1]
    if too_firm and share:
        share *= judge.marking.share("inference", "too_firm")
        reason += f"; “{too_firm[0].in_words()}” is too firm, several ions fit"
    if general and all(_cannot_be_told(judge, basis, claim) for claim in right):
        share, reason = share / general, f"{quoted(right)}: {_pointed(basis)}"
        return Verdict(share, f"{reason}.", FAMILY)
    weak = FAMILY if general and any(c.family for c in right) else ""
    return Verdict(share, f"{reason}.", weak)


def _cannot_be_told(judge, basis, claim):
    """Whether all ions of a family are pointed to, and others of their kind besides: none could be named."""
    return claim.family and set(claim.ions) < _alike(judge, basis, claim)


def _is_the_group(judge, basis, named):
    """Whether the ions named are those of the group of this test: all of them, and no others."""
    ions = frozenset(ion for claim in named for ion in _ions(judge, claim, basis))
    group = judge.group(basis.group) if basis.group else frozenset()
    return bool(group) and ions == group


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
        return Verdict(NIL, f"{quoted(absent)}: {_excluded(basis)}.")
    said = frozenset(ion for claim in right for ion in _ions(judge, claim, basis))
    if basis.points_to and not _says_little(judge, basis):
        share = judge.marking.share("inference", "only_absent")
        reason = f"{quoted(right)} is right, but what may be present is not named ({_pointed(basis)})"
        return Verdict(share if not wrong else NIL, f"{reason}.", "only what is absent is named")
    elif judge.marking.inference["rules_out_when"] == "all" and not basis.rules_out <= said:
        share = Fraction(len(said & basis.rules_out), len(basis.rules_out))
        reason = f"{quoted(right)} is right, but not all that are ruled out are named: {_excluded(basis)}"
    else:
        share, reason = FULL, f"{quoted(right)} is right: {_excluded(basis)}"
    beside = wrong or [c for c in absent if c not in right and not (c.group or set(c.ions) & basis.may_show)]
    if beside:
        share *= less(judge.marking.inference["extra_ion"], len(right), len(beside))
        reason += f"; {quoted(beside)} {'is wrong' if wrong else 'does not follow'}"
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


def quoted(claims):
    """What is claimed, in quotation marks."""
    return "“" + "; ".join(dict.fromkeys(claim.in_words() for claim in claims)) + "”"


def _pointed(basis):
    return f"the observation points to {', '.join(sorted(basis.points_to)) or 'no ion'}"


def _excluded(basis):
    return f"the observation rules out {', '.join(sorted(basis.rules_out)) or 'no ion'}"
