"""Whether a finding may be what an outcome says: its event, its step, its colours."""

from examkit.chemistry.colours import canonical, family
from grading.reading.drafts import GASEOUS
from grading.reading.findings import EFFECT, UNSTATED
from grading.scoring.judge import FULL, NIL

NAMED_BY_TEST = ("flame", "bead", "residue", "colour")  # the test says of what: the colour alone is enough
HEATING = frozenset({"hot", "warm", "heat", "boil"})
COOLING = frozenset({"cold", "cooling"})
ADDING = frozenset({"", "drops", "reagent"})


def event_fit(judge, finding, outcome, facet=""):
    """1 for the right event, 0 where only the colour was written, None where it is something else."""
    if finding.before or (finding.facet and facet and finding.facet != facet):
        return None
    if not outcome.seen:
        return FULL if says_nothing(judge, finding) else None
    if finding.nothing or finding.negated or (outcome.event == "smell" and finding.smell == "none"):
        return None
    if finding.event == outcome.event or (finding.event in GASEOUS and outcome.event in GASEOUS):
        return FULL
    if {finding.event, outcome.event} == {"bead", "residue"}:  # a bead of metal is what stays
        return FULL
    if finding.implied:
        return _implied_fit(finding, outcome)
    if finding.event == "dissolves" and outcome.event == UNSTATED and finding.colours:
        return FULL
    return None


def _implied_fit(finding, outcome):
    """A colour alone: full where the test or an earlier step says of what, else only its colour counts."""
    if outcome.event in GASEOUS or (finding.liquid and outcome.event == "precipitate"):
        return None
    if outcome.event in NAMED_BY_TEST or outcome.step not in ADDING:
        return FULL if finding.colours or finding.texture else None
    return NIL if finding.colours and outcome.colours else None


def says_nothing(judge, finding):
    """Whether a finding says that nothing happened: no change, insoluble, a colourless bead."""
    if finding.nothing or (finding.negated and finding.event in ("dissolves", EFFECT)):
        return True
    return bool(finding.colours) and uncoloured(judge, finding) and finding.event in NAMED_BY_TEST


def uncoloured(judge, finding):
    """Whether all its colours say that there is no colour."""
    return all(canonical(judge.kb, word) in judge.words.no_colour for word in finding.colours)


def step_fit(finding, outcome, steps):
    """True for the right step, False where it was not said, None for another step of the facet (`steps`)."""
    said, wanted = finding.step, outcome.step
    if wanted in ("", said) or wanted in finding.reagents:
        return True
    if {said, wanted} <= HEATING or {said, wanted} <= COOLING or {said, wanted} <= ADDING:
        return True
    if any(reagent in steps for reagent in finding.reagents) and said not in steps:
        return None
    if said and (wanted.startswith(f"{said} ") or wanted.endswith(f" {said}")):
        return wanted.removeprefix(f"{said} ") in COOLING  # a bead is looked at cold unless it is said
    others = {step for step in steps if step not in ADDING}
    if said in others or any(
        step.startswith(f"{said} ") or step.endswith(f" {said}") for step in others if said
    ):
        return None
    return True if wanted in ADDING or (steps and wanted == steps[0]) else False


def colour_fit(judge, word, expected):
    """1 for the colour or a shade of it, the scheme's share for the general word, 0 for another colour."""
    mine = canonical(judge.kb, word)
    best = NIL
    for other in expected:
        theirs = canonical(judge.kb, other)
        if mine == theirs or theirs in family(judge.kb, mine):
            return FULL
        if mine in family(judge.kb, theirs):
            best = max(best, judge.marking.share("observation", "general_colour"))
    return best
