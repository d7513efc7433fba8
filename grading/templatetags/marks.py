"""Marks as pages set them."""

from django import template

from grading.marking.marks import marks_text, pretty_marks

register = template.Library()


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
