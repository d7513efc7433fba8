"""What is said not to be there: whether the observation rules it out, and what that is worth."""

from fractions import Fraction

from examkit.chemistry.formula import parse
from grading.scoring.basis import Verdict, excluded, ions_of, less, pointed, quoted
from grading.scoring.judge import FULL, NIL


def denies_present(judge, basis, claim):
    """Whether it denies what the observation points to, or what is there and might be seen."""
    if claim.family:
        return bool(set(claim.ions) & basis.present & basis.points_to)
    if len(claim.ions) > 1 and not claim.salt:  # a name that two ions share
        return set(claim.ions) <= basis.points_to
    return bool(ions_of(judge, claim, basis) & basis.points_to) or (
        not claim.group and bool(set(claim.ions) & basis.present - basis.rules_out)
    )


def only_absent(judge, basis, absent, wrong):
    """The verdict where nothing is named but what is not there; `wrong` are those claims that are."""
    right = [claim for claim in absent if claim not in wrong and ruled_out(judge, basis, claim)]
    if not right:
        return Verdict(NIL, f"{quoted(absent)}: {excluded(basis)}.")
    said = frozenset(ion for claim in right for ion in ions_of(judge, claim, basis))
    if basis.points_to and not _says_little(judge, basis) and not _beside_the_group(judge, basis):
        share = judge.marking.share("inference", "only_absent")
        reason = f"{quoted(right)} is right, but what may be present is not named ({pointed(basis)})"
        return Verdict(share if not wrong else NIL, f"{reason}.", "only what is absent is named")
    elif judge.marking.inference["rules_out_when"] == "all" and not basis.rules_out <= said:
        share = Fraction(len(said & basis.rules_out), len(basis.rules_out))
        reason = f"{quoted(right)} is right, but not all that are ruled out are named: {excluded(basis)}"
    else:
        share, reason = FULL, f"{quoted(right)} is right: {excluded(basis)}"
    beside = wrong or [c for c in absent if c not in right and not _goes_along(judge, basis, c)]
    if beside:
        share *= less(judge.marking.inference["extra_ion"], len(right), len(beside))
        reason += f"; {quoted(beside)} {'is wrong' if wrong else 'does not follow'}"
    return Verdict(share, f"{reason}.")


def _goes_along(judge, basis, claim):
    """Whether denying it is no fault: an earlier group, or an element of which some ion may be seen here."""
    if claim.group:
        return not _comes_later(judge, basis, claim)
    elements = {parse(ion).elements[0][0] for ion in basis.may_show}
    shown = any(ion in basis.may_show or _metal_of(ion) in elements for ion in claim.ions)
    return shown


def _comes_later(judge, basis, claim):
    """Whether a group is tried only after this one."""
    order = list(judge.plan.groups)
    named = [name for name in order if name == claim.group or name in (f"{claim.group}A", f"{claim.group}B")]
    return basis.group in order and bool(named) and order.index(named[0]) > order.index(basis.group)


def _metal_of(ion):
    """The element of an ion of one element, or nothing."""
    elements = parse(ion).elements
    return elements[0][0] if len(elements) == 1 else ""


def _beside_the_group(judge, basis):
    """Whether what was seen is none of the group that the test is for: sulfur, in group II."""
    return (
        bool(basis.group) and not judge.group(basis.group) & basis.points_to and not falls_here(judge, basis)
    )


def falls_here(judge, basis):
    """Whether an ion pointed to falls with the group, though the course of analysis has it elsewhere."""
    kinds = {judge.kb.ions[ion].kind for ion in basis.points_to}
    return kinds == {"cation"}


def _says_little(judge, basis):
    """Whether so many ions are pointed to that only those ruled out are worth naming ("white: no copper")."""
    for kind, syllabus in (("cation", judge.plan.cations), ("anion", judge.plan.anions)):
        pointed = {ion for ion in basis.points_to if judge.kb.ions[ion].kind == kind}
        if pointed and 3 * len(pointed) < len(syllabus):
            return False
    return True


def ruled_out(judge, basis, claim):
    """Whether it is ruled out; the group of this very test is, where nothing was seen."""
    ions = ions_of(judge, claim, basis)
    if claim.group:
        own_group = judge.group(basis.group) if basis.group else frozenset()
        nothing_fell = not basis.seen and bool(ions) and ions <= own_group
        return judge.marking.inference["group_counts"] and (
            nothing_fell or bool(ions) and ions <= basis.rules_out
        )
    if claim.family:  # "no transition metal": some of them hardly show
        return 2 * len(ions & basis.rules_out) >= len(ions)
    if len(ions) > 1 and not claim.salt:
        return bool(ions & basis.rules_out)
    return bool(ions) and ions <= basis.rules_out
