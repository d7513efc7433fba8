"""Findings without text: what an examiner or a candidate chose from the outcomes that a test can show."""

from grading.reading.drafts import GASEOUS
from grading.reading.findings import Finding, Reading

SEPARATOR = "; "  # between the words of choices, and before those typed beside them


def findings_of_choice(choices):
    """Findings of chosen outcomes, as the reader would make them of the words; in the order chosen.

    `choices` are mappings or records with `facet`, `step`, `event` and `colours`, and where they apply
    `texture`, `gas` and `smell`: the outcomes of `examkit.chemistry.knowledge.model.Outcome`, of a frozen
    expected record, or of `grading.scoring.outcomes.choices`. An event `none` says that nothing was seen.
    """
    return tuple(_finding(choice) for choice in choices)


def reading_of_choice(choices, text=""):
    """A whole reading of chosen outcomes, nothing unread or guessed; `text` is shown back as it is."""
    findings = findings_of_choice(choices)
    text = text or "; ".join(finding.in_words() for finding in findings)
    return Reading(text=text, findings=findings, read=((0, len(text)),) if text else ())


def words_of(stored):
    """The words of stored choices. That nothing is seen in one part of a test is not said beside what is seen
    in another: "no metal" beside "white residue" would contradict it."""
    return [choice["text"] for choice in _told_choices(stored)]


def words_beside(observation, stored):
    """The words that were typed beside stored choices: the observation without what the choices made.

    >>> words_beside("white ppt; turbid", [{"key": "a", "facet": "f", "text": "white ppt"}])
    'turbid'
    """
    made = SEPARATOR.join(words_of(stored))
    if not made or not observation.startswith(made):
        return observation
    return observation[len(made) :].removeprefix(SEPARATOR)


def reading_of_stored(observation, stored):
    """The reading of an observation that stored choices made and nothing else; None where words must be read:
    nothing was chosen, something was typed beside it, or a choice does not say all that it stands for."""
    told = _told_choices(stored)
    if not told or words_beside(observation, stored) or not all(map(_says_all, told)):
        return None
    outcomes = [item | {"facet": choice["facet"]} for choice in told for item in choice["seen"]]
    return reading_of_choice(outcomes, observation)


def _told_choices(stored):
    """The choices that are told: where something is seen, only those that say what."""
    return [choice for choice in stored if not choice.get("nothing")] or list(stored)


def _says_all(choice):
    """Whether the stored outcomes tell a choice wholly: a gas known by what it does to a paper is not."""
    seen = choice.get("seen")
    return bool(seen) and not any(
        item["event"] in GASEOUS and not (item.get("gas") or item.get("smell") or item.get("colours"))
        for item in seen
    )


def _finding(choice):
    event = _told(choice, "event") or "none"
    return Finding(
        event=event,
        step=_told(choice, "step") or "",
        colours=tuple(_told(choice, "colours") or ()),
        texture=_told(choice, "texture"),
        gas=_told(choice, "gas") if event in (*GASEOUS, "dissolves") else None,
        smell=_told(choice, "smell"),
        facet=_told(choice, "facet") or "",
    )


def _told(choice, name):
    return choice.get(name) if isinstance(choice, dict) else getattr(choice, name, None)
