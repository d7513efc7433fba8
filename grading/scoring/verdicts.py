"""What claims about ions and groups earn against what an observation points to and rules out."""

from examkit.chemistry.formula import parse
from grading.scoring.absences import denies_present, falls_here, only_absent, ruled_out
from grading.scoring.basis import Verdict, excluded, ions_of, less, of_this_test, pointed, quoted
from grading.scoring.judge import FULL, NIL

FAMILY = "only a family is named"
EVERYTHING, MANY = 5, 3  # so many ions, so many of them wrong, are a list of everything
SILENT = "ions are named that may well show nothing here"


def verdict_on(judge, basis, claims):
    """The share that claims earn on a basis."""
    claims = [claim for claim in claims if not _made_here(judge, basis, claim, claims)]
    gases = [claim for claim in claims if _only_gas(basis, claim)]
    claims = [claim for claim in claims if claim not in gases and (claim.ions or claim.group)]
    if gases and not claims:
        return _gas_named(judge, basis, gases)
    named = [claim for claim in claims if not claim.absent]
    absent = [claim for claim in claims if claim.absent]
    wrongly_absent = [claim for claim in absent if denies_present(judge, basis, claim)]
    if named:
        choice = [claim for claim in wrongly_absent if _chosen_against(basis, claim, named)]
        wrongly_absent = [claim for claim in wrongly_absent if claim not in choice]
        return _named(judge, basis, named, absent, wrongly_absent)
    if not absent:
        return Verdict(NIL, "No ion or group is named.")
    return only_absent(judge, basis, absent, wrongly_absent)


def _made_here(judge, basis, claim, claims):
    """Whether it names what the test makes of an ion that is named, too: "MnO4-, so Mn2+"."""
    syllabus = _syllabus(judge)
    if claim.absent or len(claim.ions) != 1 or syllabus & set(claim.ions):
        return False
    named = {ion for other in claims if not other.absent for ion in other.ions} & basis.points_to & syllabus
    metals = [dict(parse(ion).elements).keys() - {"O", "H"} for ion in named]
    return any(metal and metal <= dict(parse(claim.ions[0]).elements).keys() for metal in metals)


def _chosen_against(basis, claim, named):
    """Whether it denies ions that are not there beside one that is: "Sr2+, not Ba2+" is a choice."""
    chosen = {ion for other in named for ion in other.ions} & basis.present & basis.points_to
    return bool(chosen) and not claim.group and not set(claim.ions) & basis.present


def _only_gas(basis, claim):
    """Whether a claim names a gas: one that is no ion, or that is the gas of this very test."""
    return bool(claim.gas) and not claim.absent and (not claim.ions or claim.gas in basis.gases)


def _gas_named(judge, basis, gases):
    """The gas alone where an ion could be named."""
    right = [c for c in gases if c.gas in basis.gases or c.gas in basis.its_gases and not c.ions]
    said = " and ".join(claim.gas for claim in gases)
    if not right or not basis.points_to:
        return Verdict(NIL, f"“{said}” names a gas and no ion.")
    return Verdict(judge.marking.share("inference", "gas_only"), f"“{said}” is the gas, but no ion is named.")


def _beside_what_is_out(judge, basis, named, absent, wrongly_absent):
    """Whether nothing was seen and ions are rightly excluded, not those named: "not Pb2+, may be Na+"."""
    free = all(not ions_of(judge, claim, basis) & basis.rules_out for claim in named)
    return free and bool(absent) and not wrongly_absent


def _named(judge, basis, named, absent, wrongly_absent):
    right = [claim for claim in named if _right(judge, basis, claim)]
    spared = _spared(judge, basis)
    outside = [c for c in named if c not in right and c.ions and set(c.ions) <= spared]
    wrong = [claim for claim in named if claim not in (*right, *outside)] + wrongly_absent
    nothing = not right and not basis.points_to
    if nothing and _beside_what_is_out(judge, basis, named, absent, wrongly_absent):
        return only_absent(judge, basis, absent, wrongly_absent)
    out = [claim for claim in absent if claim not in wrongly_absent and ruled_out(judge, basis, claim)]
    if nothing and out:
        return _beside_right_absences(judge, basis, out, named)
    if not right or not _full(judge, basis, right):
        silent = nothing and all(not ions_of(judge, claim, basis) & basis.rules_out for claim in named)
        return Verdict(NIL, f"{quoted(named)}: {pointed(basis)}.", SILENT if silent else "")
    share, reason = FULL, f"{quoted(right)}: {pointed(basis)}"
    general = _general(judge, basis, right)
    if general:
        share, reason = general, f"{reason}; an ion could be named"
    if wrong:
        left = less(judge.marking.inference["extra_ion"], len(right), len(wrong))
        if len(named) >= EVERYTHING and len(wrong) >= MANY:
            left = NIL
        if not left and _is_the_group(judge, basis, named):
            left = judge.marking.share("inference", "group_only")
        share *= left
        reason += f"; {quoted(wrong)} does not follow"
    too_firm = [c for c in right if c.firmness == "confirmed" and len(_alike(judge, basis, c)) > 1]
    if too_firm and share:
        share *= judge.marking.share("inference", "too_firm")
        reason += f"; “{too_firm[0].in_words()}” is too firm, several ions fit"
    if general and all(_cannot_be_told(judge, basis, claim) for claim in right):
        share, reason = share / general, f"{quoted(right)}: {pointed(basis)}"
        return Verdict(share, f"{reason}.", FAMILY)
    weak = FAMILY if general and any(c.family for c in right) else ""
    return Verdict(share, f"{reason}.", weak)


def _beside_right_absences(judge, basis, out, named):
    """What is left of rightly excluded ions where nothing was seen and others are named all the same."""
    share = less(judge.marking.inference["extra_ion"], len(out), len(named))
    return Verdict(share, f"{quoted(out)} is right: {excluded(basis)}; {quoted(named)} does not follow.")


def _spared(judge, basis):
    """The ions that are no fault beside right ones: beyond the syllabus but going with what was seen, or
    there and of a kind of which the observation says nothing (an anion, by the look of the salt)."""
    spoken = {judge.kb.ions[ion].kind for ion in basis.points_to | basis.rules_out}
    there = {ion for ion in basis.present if judge.kb.ions[ion].kind not in spoken}
    return (basis.suits - _syllabus(judge)) | there


def _syllabus(judge):
    return {*judge.plan.cations, *judge.plan.anions}


def _cannot_be_told(judge, basis, claim):
    """Whether all ions of a family are pointed to, and others of their kind besides: none could be named."""
    return claim.family and set(claim.ions) < _alike(judge, basis, claim)


def _is_the_group(judge, basis, named):
    """Whether the ions named are those of the group of this test: all of them, and no others."""
    ions = frozenset(ion for claim in named for ion in ions_of(judge, claim, basis))
    group = judge.group(basis.group) if basis.group else frozenset()
    return bool(group) and ions == group


def _general(judge, basis, right):
    """The share where only a group or a family is named though ions could be, or None."""
    if any(claim.ions and not claim.family for claim in right):
        return None
    kind = "group_only" if any(claim.group for claim in right) else "family_only"
    share = judge.marking.share("inference", kind)
    return share if share < FULL else None


def _full(judge, basis, right):
    rule = judge.marking.inference["full_when"]
    if rule == "any of the set":
        return True
    ions = {ion for claim in right for ion in ions_of(judge, claim, basis)}
    return (
        bool(ions & basis.present & basis.points_to) if rule == "names the ion" else basis.points_to <= ions
    )


def _right(judge, basis, claim):
    ions = ions_of(judge, claim, basis)
    if claim.group:
        fell = basis.seen and of_this_test(judge, basis, claim) and falls_here(judge, basis)
        return judge.marking.inference["group_counts"] and (fell or bool(ions & basis.points_to))
    return bool(ions & basis.points_to) or _element_of_one(basis, ions)


def _element_of_one(basis, ions):
    """Whether it names the element of an anion that is pointed to: arsenic, where arsenite is."""
    metals = [dict(parse(ion).elements).keys() for ion in ions if parse(ion).charge > 0]
    anions = [
        dict(parse(ion).elements).keys() - {"O", "H"} for ion in basis.points_to if parse(ion).charge < 0
    ]
    return any(metal == anion for metal in metals for anion in anions)


def _alike(judge, basis, claim):
    """The ions pointed to that are of the same kind as those of the claim."""
    kinds = {judge.kb.ions[ion].kind for ion in ions_of(judge, claim, basis)}
    return {ion for ion in basis.points_to if judge.kb.ions[ion].kind in kinds}
