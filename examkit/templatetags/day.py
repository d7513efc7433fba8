"""What the day tells an examiner of a sample: by code, no name, and nothing of what befell its candidate."""

from django import template

from examkit.day.selectors import told_of

register = template.Library()


@register.inclusion_tag("examkit/day/_told.html")
def from_the_day(sample):
    """Whether its candidate was absent, and the colours that were named for them."""
    return {"told": told_of(sample)}
