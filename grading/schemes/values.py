"""Marks of a mark scheme as people write them, and as it keeps them: whole steps. Pure."""

from fractions import Fraction

from grading.marking.marks import marks_text, read_steps

MOST_STEPS = 1000
SHARE = frozenset("0123456789./")


def steps_of(text, step_marks):
    """The steps in a number of marks as typed.

    >>> steps_of("1½", "0.5"), steps_of("2", "0.5")
    (3, 4)
    """
    return read_steps(text, step_marks=step_marks, out_of=MOST_STEPS)


def in_marks(data):
    """The marks of a mark scheme's data as a form shows them: {field: text}."""
    step, found = data["step_marks"], {}
    for stage, line in data["lines"]["stages"].items():
        found |= {f"stage-{stage}-{part}": marks_text(steps, step) for part, steps in line.items()}
    for test, line in (data["lines"].get("tests") or {}).items():
        found |= {f"test-{test}-{part}": marks_text(steps, step) for part, steps in line.items()}
    found |= {f"result-{kind}": marks_text(steps, step) for kind, steps in data["result"].items()}
    found |= {f"cap-{stage}": marks_text(steps, step) for stage, steps in (data.get("caps") or {}).items()}
    return found | {"safety": marks_text(data.get("safety") or 0, step)}


def is_share(text):
    """Whether a text is a share from 0 to 1: digits without an exponent, which could take hours to work out.

    >>> is_share("0.5"), is_share("1/3"), is_share("9e99999999")
    (True, True, False)
    """
    try:
        return not set(text) - SHARE and len(text) < 12 and 0 <= Fraction(text) <= 1
    except (ValueError, ZeroDivisionError):
        return False
