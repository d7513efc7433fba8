"""In which style a bottle's label fits on its sheet: as large as the rules wish, as small as they allow."""

from dataclasses import dataclass
from math import ceil

PT_mm = 0.3528
WIDE = 0.52  # of the type size: a letter, on average, with some to spare
NARROW_mm = 70  # below it the foot of a label takes more lines


@dataclass(frozen=True)
class Style:
    """A style of the print stylesheet: its class, and the sizes it sets."""

    css: str
    pictogram_mm: float
    step_mm: float
    name_pt: float
    text_pt: float

    @property
    def coded(self):
        """Whether it has the statements' codes only."""
        return self.css.endswith("coded")


STYLES = (  # the first that fits is taken
    Style("", 24.1, 22.6, 13, 8.4),
    Style("crowded", 15.1, 13.6, 11, 7.8),
    Style("crowded tight", 15.1, 13.6, 9.5, 6.4),
    Style("crowded tight coded", 15.1, 13.6, 9.5, 6.4),  # codes for statements: take a larger sheet
)


def style(label, sheet):
    """The class of the first style in which all is on the label; of the last where it fits in none."""
    fitting = (each.css for each in STYLES if needed_mm(label, sheet, each) <= free_mm(sheet))
    return next(fitting, STYLES[-1].css)


def free_mm(sheet):
    """The height (mm) above the foot of a label."""
    foot = 17.5 if sheet.label_width_mm < NARROW_mm else 12
    return sheet.label_height_mm - 2 * sheet.inset_mm - foot


def needed_mm(label, sheet, style):
    """The height (mm) that a label's words and pictograms take in a style."""
    width = sheet.label_width_mm - 2 * sheet.inset_mm
    row = max(int((width - style.pictogram_mm) / style.step_mm) + 1, 1)
    pictograms = ceil(len(label.pictograms) / row) * style.pictogram_mm
    second = len(label.strength) + len(label.shelf_life) + len(label.bench) + 26
    said = label.statement_codes if style.coded else label.statements
    statements = sum(len(text) + 2 for text in said)
    return (_lines_mm(len(label.name), width, style.name_pt, 1.1) + _lines_mm(second, width, style.text_pt)
            + pictograms + (5 if label.signal else 0) + _lines_mm(statements, width, style.text_pt))


def _lines_mm(letters, width_mm, size_pt, leading=1.2):
    lines = ceil(letters * size_pt * PT_mm * WIDE / width_mm)
    return lines * size_pt * PT_mm * leading + (0.7 if lines else 0)
