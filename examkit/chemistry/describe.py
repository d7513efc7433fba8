"""Outcomes in words, as a careful candidate would write them."""

from itertools import takewhile

from examkit.chemistry.knowledge.model import SOLVENTS

MOMENTS = {
    "warm": "on warming",
    "heat": "on heating",
    "boil": "on boiling",
    "cooling": "on cooling",
    "dried": "when dried",
    "on standing": "on standing",
    "excess": "in excess",
    "hot": "when hot",
    "cold": "in the cold",
}
UNSAID = ("", "drops", "reagent", "naked eye", "in air")  # steps that go without saying
LEFT_BEHIND = (
    "excess",
    "ammonia",
    "dilute HCl",
    "nitric acid",
    "acetic acid",
    "sodium hydroxide",
    "hot water",
)
SMELL_ADJECTIVES = (
    "pungent",
    "choking",
    "suffocating",
    "fruity",
    "faintly sweet",
    "sharp",
    "irritating",
    "acrid",
)
FLAMES = {"oxidising": "oxidising flame", "reducing": "reducing flame"}
VOWELS = ("a", "e", "i", "o", "u")
PIECES = ("bead", "particles", "mass", "scales", "globule", "flake")  # textures that are a noun by themselves
CLOUDS = ("turbidity", "lake", "spangles", "crystals", "needles")


def describe_test(test, seen_by_facet):
    """What is seen in a whole test: `seen_by_facet` holds (facet key, outcomes) pairs."""
    seen = [(test.facets[key], outcomes) for key, outcomes in seen_by_facet]
    named = test.id.startswith("confirm")
    texts = [
        (f"{facet.title}: " if named else _besides(test, facet)) + describe(facet, outcomes)
        for facet, outcomes in seen
        if any(outcome.seen for outcome in outcomes)
    ]
    nothing = dict.fromkeys(facet.none for facet, _outcomes in seen if facet.none)
    return ("; or " if test.choose == "one" else "; ").join(texts or nothing) or "nothing seen"


def _besides(test, facet):
    """What sets a facet apart from a shorter one of the same name: `with copper turnings: `."""
    shorter = [other.title for other in test.facets.values() if facet.title.startswith(f"{other.title} ")]
    return facet.title.removeprefix(shorter[0]).strip() + ": " if shorter else ""


def describe(facet, outcomes):
    """What is seen in one facet."""
    seen = [outcome for outcome in outcomes if outcome.seen]
    if not seen:
        return facet.none or "nothing seen"
    if all(outcome.event == "bead" and " " in outcome.step for outcome in seen):
        return _bead(outcomes)
    if all(outcome.event in ("residue", "sublimate") and outcome.step in ("hot", "cold") for outcome in seen):
        return _hot_and_cold(facet, seen)
    if all(outcome.step in SOLVENTS for outcome in outcomes):
        return _dissolving(outcomes)
    return ", ".join(filter(None, _in_turn(outcomes)))


def _in_turn(outcomes):
    before = None
    for outcome in outcomes:
        text = WRITERS[outcome.event](outcome, before)
        news = outcome.seen and not (before and before.also_seen == outcome.also_seen)
        yield ", ".join(filter(None, (text, outcome.also_seen if news else None)))
        before = outcome if outcome.seen else before


def _colours(outcome):
    """The most usual colour word, and the next; all that are right stand in the outcome itself."""
    return " or ".join(outcome.colours[:2])


def _joined(*words):
    return " ".join(word for word in words if word)


def _a(words):
    """`a green`, `an orange`: the article goes by the first sound of what follows."""
    return f"{'an' if words[:1] in VOWELS else 'a'} {words}"


def _when(step):
    return "" if step in UNSAID else MOMENTS.get(step) or f"with {step}"


def _none(outcome, before):
    """A precipitate that stays is worth a word; nothing after nothing is not."""
    if before is not None and before.event == "precipitate" and outcome.step in LEFT_BEHIND:
        return f"insoluble in {outcome.step}"
    return ""


def _precipitate(outcome, before):
    if outcome.step == "on standing" and before is not None:
        return f"turns {_colours(outcome)} on standing"
    noun = "" if outcome.texture and set(outcome.texture.split()) & set(CLOUDS) else "precipitate"
    text = _joined(_colours(outcome), outcome.texture, noun)
    if before is not None and before.event == "precipitate" and outcome.step in LEFT_BEHIND:
        return f"{text} stays in {outcome.step}"
    return _joined(text, _when(outcome.step))


def _dissolves(outcome, before):
    if outcome.step == "in air":
        return outcome.texture or ""
    partly = "partly" if outcome.texture and "part" in outcome.texture else ""
    where = MOMENTS.get(outcome.step) or (f"in {outcome.step}" if outcome.step not in UNSAID else "")
    return _joined(
        partly, "dissolves", where, f"to {_a(_colours(outcome))} solution" if outcome.colours else ""
    )


def _dissolving(outcomes):
    """`insoluble in cold water and hot water, dissolves in dilute HCl to a blue solution`."""
    stays = [outcome.step for outcome in takewhile(lambda o: not o.seen, outcomes)]  # then part of a mixture
    said = f"insoluble in {', '.join(stays[:-1])} and {stays[-1]}" if len(stays) > 1 else ""
    said = said or (f"insoluble in {stays[0]}" if stays else "")
    taken_up = (", ".join(filter(None, (_dissolves(o, None), o.also_seen))) for o in outcomes if o.seen)
    changes = [f"with {o.step} it {o.also_seen}" for o in outcomes if o.also_seen and not o.seen]
    rest = f"a part is insoluble even in {outcomes[-1].step}" if _something_stays(outcomes) else ""
    return "; ".join(filter(None, [", ".join(filter(None, (said, *taken_up))), *changes, rest]))


def _something_stays(outcomes):
    """Whether more solvents were tried after one had dissolved something: a part of a mixture stays."""
    return any(outcome.seen for outcome in outcomes) and not outcomes[-1].seen


def _gas(outcome, before):
    if outcome.gas == "H2O" and not outcome.colours:
        return "water vapour"
    name = f"({outcome.gas})" if outcome.gas else ""
    again = outcome.gas and before is not None and before.gas == outcome.gas and before.smell == outcome.smell
    smell = "" if again else _smelling(outcome.smell)  # said once
    return _joined(_colours(outcome), "gas", name, smell, _when(outcome.step))


def _smelling(smell):
    if not smell or smell in ("none", "odourless"):
        return "without smell" if smell else ""
    if smell in SMELL_ADJECTIVES:
        return f"with {_a(smell)} smell"
    faint = "faint " if smell.startswith("faintly of ") else ""
    return f"with a {faint}smell of {smell.removeprefix('faintly of ')}"


def _effervescence(outcome, before):
    brisk = outcome.texture if outcome.texture and outcome.texture.startswith("brisk") else ""
    fizz = f"effervescence, {brisk}," if "," in brisk else _joined(brisk, "effervescence,")
    return _joined(fizz, _gas(outcome, before))


def _colour(outcome, before):
    """A colour that comes, changes (`turns brown on standing`) or goes (`colourless solution`)."""
    goes = "colourless" in outcome.colours[:2]
    turns = "turns" if before is not None and outcome.step in MOMENTS and not goes else ""
    noun = "" if not outcome.step or outcome.texture or turns else ("solution" if goes else "colour")
    return _joined(turns, _colours(outcome), outcome.texture, noun, _when(outcome.step))


def _residue(outcome, before):
    noun = "" if outcome.texture and any(piece in outcome.texture for piece in PIECES) else "residue"
    return _joined(_colours(outcome), outcome.texture, noun)


def _sublimate(outcome, before):
    """`white sublimate`; a look of several words follows: `black sublimate of shining crystals`."""
    warmth, look = outcome.step if outcome.step in ("hot", "cold") else "", outcome.texture or ""
    after = (", " if " of " in look else " of ") + look if " " in look else ""
    return _joined(_colours(outcome), "" if after else look, "sublimate", warmth) + after


def _flame(outcome, before):
    if outcome.step == "blue glass":
        return f"{_colours(outcome)} through blue glass"
    return _joined(_colours(outcome), outcome.texture, "flame")


def _smell(outcome, before):
    smell = _smelling(outcome.smell).removeprefix("with ").removeprefix("a ").removeprefix("an ")
    return _joined(smell, _when(outcome.step))


def _crackling(outcome, before):
    return "crackles"


def _melts(outcome, before):
    return _joined("melts", f"to {_a(_colours(outcome))} liquid" if outcome.colours else "")


def _bead(outcomes, before=None):
    """Both flames, hot and cold: `bead in the oxidising flame: violet hot, reddish brown cold`."""
    if not isinstance(outcomes, tuple | list):
        return _joined(_colours(outcomes), "bead")
    parts = []
    for flame, name in FLAMES.items():
        here = [outcome for outcome in outcomes if outcome.step.startswith(flame)]
        said = ", ".join(
            _joined(_colours(o) or "colourless", o.step.removeprefix(flame).strip()) for o in here
        )
        if said:
            parts.append(f"{name}: {said}")
    return "bead in the " + "; ".join(parts)


def _hot_and_cold(facet, seen):
    """`residue yellow hot, white cold`; the same colour throughout is said once."""
    noun = seen[0].texture if seen[0].texture and "incrustation" in seen[0].texture else facet.title
    notes = "".join(f", {note}" for note in dict.fromkeys(o.also_seen for o in seen if o.also_seen))
    if len({outcome.colours for outcome in seen}) == 1 and len(seen) > 1:
        return f"{_colours(seen[0])} {noun}, hot and cold{notes}"
    return f"{noun} " + ", ".join(_joined(_colours(o), o.step) for o in seen) + notes


WRITERS = {
    "none": _none,
    "precipitate": _precipitate,
    "dissolves": _dissolves,
    "gas": _gas,
    "effervescence": _effervescence,
    "colour": _colour,
    "residue": _residue,
    "sublimate": _sublimate,
    "flame": _flame,
    "bead": _bead,
    "smell": _smell,
    "crackling": _crackling,
    "melts": _melts,
}
