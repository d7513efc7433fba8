"""Marks as pages set them."""

from django import template
from django.template.defaultfilters import linebreaksbr

from grading.marking.marks import marks_text, pretty_marks

register = template.Library()

TURNING = (*range(0x202A, 0x202F), *range(0x2066, 0x206A))  # by them words are seen in another order
UNSEEN = {sign: chr(0x2400 + sign) for sign in range(32) if sign not in (9, 10, 13)} | {0x7F: "\u2421"} | {
    sign: f"\N{MATHEMATICAL LEFT ANGLE BRACKET}U+{sign:04X}\N{MATHEMATICAL RIGHT ANGLE BRACKET}"
    for sign in (*range(0x80, 0xA0), *TURNING)}


@register.filter
def marks(steps, step_marks):
    """Steps as an examiner writes them: 1½."""
    return "" if steps is None else pretty_marks(steps, step_marks)


@register.filter
def plain_marks(steps, step_marks):
    """Steps in plain digits, as they are typed into a field: 1.5."""
    return "" if steps is None else marks_text(steps, step_marks)


@register.filter
def spaced(code):
    """A sample code as printed, in two halves."""
    return f"{code[:3]} {code[3:]}"


@register.filter
def as_written(text):
    """A candidate's words in the order in which they are read and marked, line by line: signs that nobody
    sees, and those that turn the order of others, are shown."""
    return linebreaksbr(str(text or "").translate(UNSEEN))
