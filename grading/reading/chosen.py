"""Findings without text: what an examiner or a candidate chose from the outcomes that a test can show."""

from grading.reading.drafts import GASEOUS
from grading.reading.findings import Finding, Reading


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
