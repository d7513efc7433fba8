"""Whether a finding may be what an outcome says: its event, its step, its colours."""

from functools import cache
from itertools import combinations, product

from examkit.chemistry.colours import any_agree, canonical, family
from examkit.chemistry.vision import TOLD_APART, distance
from grading.reading.drafts import GASEOUS
from grading.reading.findings import EFFECT, UNSTATED
from grading.scoring.judge import FULL, NIL, NOT_ASKED, WITH_AID

NAMED_BY_TEST = ("flame", "bead", "residue", "colour")  # the test says of what: the colour alone is enough
STAYS = (
    {"bead", "residue"},
    {"precipitate", "residue"},
)  # a bead of metal, a deposit
HEATING = frozenset({"hot", "warm", "heat", "boil"})
COOLING = frozenset({"cold", "cooling"})
NEIGHBOUR = 1.5 * TOLD_APART  # CIEDE2000: colours that two people may well call by each other's name
NEAR = 2.2 * TOLD_APART  # and those that are only near
IN_WATER = frozenset({"cold water", "hot water"})
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
    if {finding.event, outcome.event} in STAYS:
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
    if outcome.event == "dissolves" and not (finding.liquid or finding.step or finding.reagents):
        return None  # "goes purple" is not said of a solution
    if outcome.event in NAMED_BY_TEST or outcome.step not in ADDING:
        return FULL if finding.colours or (finding.texture and outcome.texture) else None
    return NIL if finding.colours and outcome.colours else None


def says_nothing(judge, finding):
    """Whether a finding says that nothing happened: no change, insoluble, a colourless bead."""
    if finding.nothing or (finding.negated and finding.event in ("dissolves", EFFECT)):
        return True
    if finding.unchanged and (finding.implied or finding.event == EFFECT):
        return True  # "stays white", "red litmus stays red"
    return bool(finding.colours) and uncoloured(judge, finding) and finding.event in NAMED_BY_TEST


def uncoloured(judge, finding):
    """Whether all its colours say that there is no colour."""
    return all(canonical(judge.kb, word) in judge.words.no_colour for word in finding.colours)


def step_fit(finding, outcome, steps):
    """True for the right step, False where it was not said, None for another step of the facet (`steps`)."""
    said, wanted = finding.step, outcome.step
    if said in NOT_ASKED:
        return None
    if wanted in ("", said) or wanted in finding.reagents:
        return True
    if not said and wanted in WITH_AID:
        return None
    if wanted in IN_WATER and IN_WATER <= set(steps):
        said = "hot water" if said in HEATING else "cold water" if said in COOLING else said
        return True if said == wanted else None if said in IN_WATER else False
    if said in IN_WATER and wanted in IN_WATER:
        return None
    if wanted == "hot water" and said in HEATING:
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
    """1 for the colour or a shade, the scheme's shares for the general word and a near colour, else 0."""
    mine = canonical(judge.kb, word)
    best = NIL
    for other in expected:
        theirs = canonical(judge.kb, other)
        if mine == theirs or theirs in family(judge.kb, mine) or _turned(judge, mine, theirs):
            return FULL
        if mine in judge.words.tints and mine in theirs.split():
            return FULL  # "greenish" for greenish yellow
        if mine in family(judge.kb, theirs):
            best = max(best, judge.marking.share("observation", "general_colour"))
        else:
            best = max(best, _near(judge, mine, theirs))
    return best


def colours_fit(judge, findings, expected):
    """Whether each finding has a colour of its place in the list expected."""
    return all(
        any(colour_fit(judge, word, colours) == FULL for word in finding.colours)
        for finding, colours in zip(findings, expected, strict=True)
    )


def _turned(judge, one, other):
    """Whether two words mix the same two colours: "brownish yellow" and "yellowish brown"."""
    mixed = [{judge.words.tints.get(word, word) for word in name.split()} for name in (one, other)]
    told = frozenset((one, other)) in tell_apart(judge.kb)
    return len(mixed[0]) == 2 and mixed[0] == mixed[1] <= judge.words.colours and not told


@cache
def tell_apart(kb):
    """Pairs of colours by which two ions are told apart at a step of some test (crimson, brick red)."""
    seen = {}
    for ion in kb.ions.values():
        for place, fact in ion.facts.items():
            for item in (item for seen in (fact.seen, *(other.seen for other in fact.also)) for item in seen):
                if item.seen and item.colours:
                    colours = tuple(canonical(kb, word) for word in item.colours)
                    seen.setdefault((*place, item.step, item.event), set()).add(colours)
    pairs = (pair for lists in seen.values() for pair in combinations(sorted(lists), 2))
    apart = ((one, other) for one, other in pairs if not any_agree(kb, one, other))
    return frozenset(frozenset(two) for one, other in apart for two in product(one, other))


def _near(judge, one, other):
    """The share of a colour that is no shade of the one expected: a neighbour's, a near one's, or none."""
    bare = judge.words.no_colour
    apart = distance(judge.kb, one, other)
    if frozenset((one, other)) in tell_apart(judge.kb):
        return NIL
    if one in bare or other in bare or apart >= NEAR or not judge.marking.share("observation", "near_colour"):
        return NIL
    return FULL if apart < NEIGHBOUR else judge.marking.share("observation", "near_colour")
