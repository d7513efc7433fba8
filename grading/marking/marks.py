"""Marks as people write them ("1.5", "1½", "1 1/2") and as they are kept: whole numbers of a step."""

from fractions import Fraction

from django.utils.translation import gettext as _

from grading.errors import NoSuchMark

VULGAR = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
}
SIGNS = {value: sign for sign, value in VULGAR.items()}


def marks_text(steps, step_marks):
    """Steps as marks in plain digits, for files and fields.

    >>> marks_text(3, "0.5"), marks_text(4, "0.5"), marks_text(0, "1")
    ('1.5', '2', '0')
    """
    value = steps * Fraction(str(step_marks))
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.6f}".rstrip("0")


def pretty_marks(steps, step_marks):
    """Steps as marks the way an examiner writes them.

    >>> pretty_marks(3, "0.5"), pretty_marks(1, "0.5"), pretty_marks(2, "0.5")
    ('1½', '½', '1')
    """
    whole, rest = divmod(steps * Fraction(str(step_marks)), 1)
    if rest and rest not in SIGNS:
        return marks_text(steps, step_marks)
    return (str(whole) if whole or not rest else "") + (SIGNS[rest] if rest else "")


def read_steps(text, *, step_marks, out_of):
    """The number of steps in a mark as typed; NoSuchMark says what the part can have.

    >>> read_steps("1½", step_marks="0.5", out_of=4), read_steps("0,5", step_marks="0.5", out_of=4)
    (3, 1)
    """
    steps = _value(text) / Fraction(str(step_marks)) if _value(text) is not None else None
    if steps is None or steps.denominator != 1 or not 0 <= steps <= out_of:
        raise NoSuchMark(
            _("“%(typed)s” is not a mark here: 0 to %(most)s, in steps of %(step)s.")
            % {
                "typed": str(text)[:20],
                "most": pretty_marks(out_of, step_marks),
                "step": pretty_marks(1, step_marks),
            }
        )
    return int(steps)


def _value(text):
    """The number that was typed, or None where it is none."""
    typed = str(text).strip().replace(",", ".")
    if typed and typed[-1] in VULGAR:
        whole = typed[:-1].strip() or "0"
        return Fraction(int(whole)) + VULGAR[typed[-1]] if _digits(whole) else None
    words = typed.split()
    if len(words) == 2 and _digits(words[0]) and "/" in words[1] and _plain(words[1]) is not None:
        return int(words[0]) + _plain(words[1])
    return _plain(typed)


def _plain(text):
    """A decimal or a fraction in ASCII digits; no sign, no exponent, nothing long."""
    if not text.isascii() or len(text) > 9 or set(text) - set("0123456789./"):
        return None
    try:
        return Fraction(text)
    except (ValueError, ZeroDivisionError):
        return None


def _digits(text):
    return text.isascii() and text.isdigit() and len(text) < 5
