"""What the printed sheets' templates need."""

from django import template
from django.utils.html import format_html

from examkit.printing import fit_samples
from examkit.printing.fit import style
from examkit.printing.render import PICTOGRAM_SCHEME
from examkit.printing.render import qr as qr_of

register = template.Library()


@register.filter
def qr(code):
    """The QR code of a sample code, as inline SVG."""
    return qr_of(code)


@register.filter
def pictogram(key):
    """The GHS pictogram with this key, read once for a whole print run and not as part of each label."""
    return format_html('<img class="ghs" src="{}{}" alt="{}">', PICTOGRAM_SCHEME, key, key)


@register.filter
def on_sheets(items, sheet):
    """The items on label sheets: for each sheet a list of (left in mm, top in mm, item), as text for CSS."""
    pages = [items[start:start + sheet.size] for start in range(0, len(items), sheet.size)]
    return [[(*_corner(sheet, number), item) for number, item in enumerate(page)] for page in pages]


def _corner(sheet, number):
    row, column = divmod(number, sheet.columns)
    left_mm = sheet.margin_left_mm + column * (sheet.label_width_mm + sheet.gap_x_mm)
    top_mm = sheet.margin_top_mm + row * (sheet.label_height_mm + sheet.gap_y_mm)
    return f"{left_mm:.2f}", f"{top_mm:.2f}"


@register.filter
def style_on(label, sheet):
    """The class of the style in which a bottle's label fits on its sheet."""
    return style(label, sheet)


@register.filter
def sample_style(document):
    """The class of the style in which samples' labels fit on their sheet."""
    return fit_samples.style(document)


@register.filter
def card_style(document):
    """The class of the style in which all is on a tray's card."""
    return fit_samples.card_style(document)


@register.filter
def mm(length):
    """A length in mm as CSS wants it, whatever the language."""
    return f"{length:.2f}mm"
