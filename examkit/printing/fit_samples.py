"""How samples' labels and trays' cards are set on their sheet: pictograms of 10 mm and more, or none; pure.

Words before codes, large pictograms before small ones; where not even pictograms of 1 cm2 (CLP, annex I,
1.2.1) fit, the label is a mark that sends to the tray card, which has everything.
"""

from dataclasses import dataclass
from math import ceil

from examkit.printing.fit import PT_mm

QR_mm, BESIDE_mm = 18, 19  # the code's square, and where text beside it begins
CODE_mm, LEADING, BREATH_mm = 6, 1.15, 0.4
WIDE = 0.46  # of the type size: a letter of these texts, measured, with a little to spare
ALWAYS = 110  # letters of what every label says beside its hazards
CARD_HEAD_mm, CARD_FOOT_mm, CARD_LINE_mm, CARD_SAYS = 17, 10, 60, 230
MARK = "mark"


@dataclass(frozen=True)
class Style:
    """A style of the print stylesheet: box of a pictogram and step to the next, size of the words, and
    whether statements stand in words or as codes."""

    css: str
    pictogram_mm: float
    step_mm: float
    text_pt: float
    coded: bool = False


STYLES = (  # the first that fits is taken
    Style("large", 24.1, 22.6, 8),
    Style("medium", 15.1, 13.6, 7.4),
    Style("medium close", 15.1, 13.6, 6.4),
    Style("medium close coded", 15.1, 13.6, 6.4, coded=True),
)
CARD_STYLES = (
    Style("large", 24.1, 22.6, 8.6),
    Style("large close", 24.1, 22.6, 7.2),
    Style("medium", 15.1, 13.6, 8.6),
    Style("medium close", 15.1, 13.6, 7.2),
)


def style(document):
    """The class of the first style in which all hazards are on a sample's label, with its arrangement."""
    width, height = _inside(document.sheet)
    for each in STYLES:
        said = document.statement_codes if each.coded else document.statements
        if CODE_mm + _hazards_mm(document, said, each, width - BESIDE_mm) <= height:
            return f"{each.css} beside"
        if QR_mm + _hazards_mm(document, said, each, width) <= height:
            return f"{each.css} below"
    return MARK + (" tiny" if document.sheet.tiny else "")


def card_style(document):
    """The class of the first style in which all is on every tray's card; of the last where none fits."""
    width, height = _inside(document.sheet)
    codes = max((sum(len(sitting) + 10 for sitting, _code in card.codes) for card in document.cards),
                default=0)
    free = height - CARD_HEAD_mm - CARD_FOOT_mm - 4 * (codes // CARD_LINE_mm)
    fitting = (each.css for each in CARD_STYLES
               if _hazards_mm(document, document.statements, each, width, CARD_SAYS) <= free)
    return next(fitting, CARD_STYLES[-1].css)


def _inside(sheet):
    return sheet.label_width_mm - 2 * sheet.inset_mm, sheet.label_height_mm - 2 * sheet.inset_mm


def _hazards_mm(document, said, each, width_mm, always=ALWAYS):
    """The height (mm) of the pictograms and of all words under them."""
    if width_mm < each.pictogram_mm:
        return float("inf")
    row = int((width_mm - each.pictogram_mm) / each.step_mm) + 1
    letters = always + sum(len(text) + 2 for text in said)
    lines = ceil(letters * each.text_pt * PT_mm * WIDE / width_mm) + 1  # paragraphs end within a line
    pictograms = ceil(len(document.pictograms) / row) * each.pictogram_mm
    return pictograms + lines * each.text_pt * PT_mm * LEADING + BREATH_mm
