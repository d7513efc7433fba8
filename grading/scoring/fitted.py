"""Findings as the test means them: a turbid bead is a bead; milky lime water may be the test itself."""

from dataclasses import replace

from grading.reading.drafts import GASEOUS
from grading.reading.findings import EFFECT, UNSTATED
from grading.scoring.fit import colours_fit
from grading.scoring.parts import BURNING, MILKY

SEEN_AS = ("precipitate", "residue", "sublimate")  # words for a solid, in a test that is not about one
DROPS = "drops"
IN_WATER = ("cold water", "hot water")
GONE = "decolourised"  # what a solution's deed is called (words/deeds.yaml)


def fitted(judge, test_id, findings, asked=None):
    """The findings with the events that this test speaks of; `asked` are the facets that the line expects."""
    events = judge.events_of(test_id)
    if events == {"dissolves"}:
        findings = [_of_liquid(judge, finding) for finding in findings]
    if judge.hot_and_cold(test_id):
        findings = _in_turn(judge, test_id, findings)
    if "flame" not in events and any(f.event in GASEOUS and not f.negated for f in findings):
        findings = [_burning(finding) for finding in findings]
    return tuple(_merged([_fitted(judge, test_id, events, finding, asked) for finding in findings], events))


def _of_liquid(judge, finding):
    """Where only dissolving is asked for, a colour told of bubbles is that of the liquid."""
    uncoloured = set(finding.colours) <= set(judge.words.no_colour)
    if finding.event in GASEOUS and finding.colours and uncoloured and not finding.gas:
        return replace(finding, event=UNSTATED, implied=True, liquid=True)
    return finding


def _in_turn(judge, test_id, findings):
    """Colours of what is heated, told one after the other: hot and cold where some ion shows these, else the
    last one counts."""
    told = [f for f in findings if _plain_colour(f)]
    if len(told) < 2:
        return findings
    pair = told[-2:]
    if any(colours_fit(judge, pair, sort) for sort in judge.hot_and_cold(test_id)):
        steps = {id(pair[0]): {"step": "hot"}, id(pair[1]): {"step": "cold"}}
    else:
        steps = {id(f): {"before": True} for f in told[:-1]}
    return [replace(f, **steps.get(id(f), {})) for f in findings]


def _plain_colour(finding):
    """Whether a finding is a colour, and nothing tells of what or when."""
    told = finding.step or finding.reagents or finding.liquid or finding.before or finding.unchanged
    return finding.implied and bool(finding.colours) and not (told or finding.negated or finding.effect)


def _burning(finding):
    """ "the gas burnt with a blue flame": where no flame is looked at, it is what the gas does."""
    if finding.event != "flame" or finding.negated:
        return finding
    return replace(finding, event="gas", colours=(), texture=BURNING)


def _merged(findings, events):
    """The colour of a solution, told in a sentence of its own, belongs to the dissolving before it."""
    result = []
    for finding in findings:
        last = next((f for f in reversed(result) if f.event not in GASEOUS), None)
        of_solution = finding.implied and (finding.liquid or events == {"dissolves"}) and not finding.negated
        if _more_of_the_gas(last if not result else result[-1], finding, events):
            finding = replace(finding, event="gas", implied=False)
        if last and of_solution and last.event == "dissolves" and not (last.colours or last.negated):
            result[result.index(last)] = replace(last, colours=finding.colours)
        else:
            result.append(finding)
    return result


def _more_of_the_gas(last, finding, events):
    """ "brown fumes, deep brown with copper": where only gases are looked for, the colour is the gas's."""
    alone = finding.implied and not (finding.liquid or finding.negated or finding.before or finding.unchanged)
    gaseous = set(GASEOUS) & events and not {"precipitate", "residue", "sublimate"} & events
    return bool(alone and gaseous and finding.reagents and last is not None and last.event in GASEOUS)


def _fitted(judge, test_id, events, finding, asked):
    if finding.step == DROPS and not judge.has_step(test_id, DROPS):
        finding = replace(finding, step="")  # "precipitated a little"
    turned = judge.words.turned.get(finding.effect, {})
    if finding.colours and not finding.negated and finding.colours[-1] in turned:
        finding = replace(finding, effect=turned[finding.colours[-1]])
    if finding.effect and not finding.negated:
        return _in_place(judge, test_id, finding, asked)
    if finding.event == "melts" and finding.colours and "residue" in events and not finding.liquid:
        return replace(finding, event=UNSTATED, implied=True, liquid=False)  # "melted and turned black"
    if finding.event == "bead" and "metal" in judge.facets_of(test_id):
        return replace(finding, facet=finding.facet or "metal")
    if (
        finding.step in IN_WATER
        and finding.event != "dissolves"
        and not judge.has_step(test_id, finding.step)
    ):
        finding = replace(finding, step="")  # "loses its water, turns white"
    if (
        finding.solid
        and finding.implied
        and finding.colours
        and not finding.before
        and judge.in_water(test_id)
    ):
        return replace(finding, event="precipitate", implied=False, liquid=False)
    if finding.event == UNSTATED and not finding.implied and finding.texture and "sublimate" in events:
        return replace(finding, event="sublimate")  # "a white ring"
    if finding.facet and finding.facet not in judge.facets_of(test_id):
        finding = replace(finding, facet="")
    if finding.event == "sublimate" and finding.event not in events and "precipitate" in events:
        finding = replace(finding, event="precipitate")
    milky = finding.event == "precipitate" and finding.texture == MILKY
    if milky and not (finding.colours or finding.negated):
        return replace(finding, colours=judge.words.deeds.get(MILKY, ()))
    if finding.event not in SEEN_AS or finding.event in events:
        return finding
    if judge.looks_only(test_id) and finding.colours:
        return replace(finding, event=UNSTATED, implied=True, liquid=False)
    return finding


def _in_place(judge, test_id, finding, asked):
    """What a gas or a solution does to a reagent that is a facet of this very test."""
    facets = judge.facets_named(test_id, (finding.effect.removesuffix(" paper"),))
    facets = facets if asked is None else facets & asked
    if not facets or finding.event in GASEOUS or judge.facets_named(test_id, finding.reagents) - facets:
        return finding
    reagents = (*finding.reagents, finding.effect)
    if finding.texture == MILKY:
        colours = finding.colours or judge.words.deeds.get(MILKY, ())
        return replace(
            finding, event="precipitate", effect=None, texture=None, colours=colours, reagents=reagents
        )
    if finding.texture == GONE:
        colours = tuple(judge.words.no_colour)
        return replace(finding, event=UNSTATED, effect=None, texture=None, colours=colours, reagents=reagents)
    if finding.colours and finding.event == EFFECT:
        return replace(finding, event=UNSTATED, implied=True, effect=None, reagents=reagents)
    return finding
