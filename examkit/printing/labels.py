"""Labels and trays: what is on them, where labels fit, and the hazards that all tubes of a pool show."""

from dataclasses import replace

from examkit.knowledge import knowledge
from examkit.printing.documents import (
    LabelSheet,
    SampleLabels,
    StockLabel,
    StockLabels,
    TrayCard,
    TrayCards,
    TrayList,
    TrayRoom,
)
from examkit.printing.fill import drawn, heading, prepared
from examkit.printing.hazards import together
from examkit.stockroom.amounts import plain
from examkit.stockroom.makeup import strength_of
from examkit.stockroom.trays import room_trays

SAMPLE_SHEET, BOTTLE_SHEET, BENCH_SHEET = "a4-4x10", "a4-2x4", "a4-3x8"  # what a form proposes first
CARD_SHEET, CARD_SIZE_mm = "a4-2x2", (100, 130)


def geometries(first):
    """All label sheets as pairs of key and title, the usual one for the purpose first."""
    sheets = knowledge().labels["sheets"]
    return [(key, sheets[key]["title"]) for key in (first, *(key for key in sheets if key != first))]


def card_sheets():
    """The sheets whose labels are large enough for a tray's card."""
    return [pair for pair in geometries(CARD_SHEET) if label_sheet(pair[0]).at_least(*CARD_SIZE_mm)]


def label_sheet(key):
    """A label sheet of the knowledge base."""
    sheet = knowledge().labels["sheets"][key]
    return LabelSheet(**{name: sheet[name] for name in LabelSheet.__dataclass_fields__})


def sample_labels(exam, sheet=SAMPLE_SHEET):
    """Labels of the tubes, by code; the hazards of the whole pool on each, so that none tells a salt."""
    codes = tuple(drawn(exam).order_by("code").values_list("code", flat=True))
    signal, pictograms, statements, texts = _pool(exam)
    return SampleLabels(heading(exam), label_sheet(sheet), codes, signal, pictograms, texts, statements)


def tray_cards(exam, sheet=CARD_SHEET):
    """A card for each bench: its codes, and all hazards of the whole pool in full."""
    signal, pictograms, _codes, texts = _pool(exam)
    cards = tuple(
        TrayCard(each.room, tray.bench, tuple((sitting, code) for sitting, code
                                              in zip(each.sittings, tray.codes, strict=True) if code))
        for each in room_trays(exam, prepared(exam)) for tray in each.trays)
    return TrayCards(heading(exam), label_sheet(sheet), cards, signal, pictograms, texts)


def _pool(exam):
    """The hazards of the whole pool together: signal word, pictograms, statements by code and in words."""
    kb = knowledge(exam.centre)
    pool = {*exam.expected.values_list("salt", flat=True), *exam.pool.values_list("formula", flat=True)}
    parts = sorted({part for salt in pool for part in salt.split(" + ")})
    hazards = together([kb.salts[part].hazards for part in parts], kb.labels["drops"])
    return hazards.signal, hazards.pictograms, hazards.statements, _texts(kb, hazards.statements)


def stock_labels(exam, sheet=BOTTLE_SHEET):
    """A label for each reagent bottle of the stock room."""
    kb = knowledge(exam.centre)
    labels = tuple(_stock_label(kb, row) for row in prepared(exam).reagents)
    return StockLabels(heading(exam), label_sheet(sheet), labels)


def bench_labels(exam, sheet=BENCH_SHEET):
    """A label for every bottle on every bench, bench by bench: the same bottles on each."""
    kb, stock = knowledge(exam.centre), prepared(exam)
    bottles = [_stock_label(kb, row) for row in stock.bench_set]
    places = drawn(exam).order_by("bench__room", "bench__row", "bench__column")
    benches = dict.fromkeys(places.values_list("bench__room__name", "bench__label"))
    labels = tuple(_at(bottle, label) for _room, label in benches for bottle in bottles)
    return StockLabels(heading(exam), label_sheet(sheet), labels)


def tray_list(exam):
    """The trays of every room: the same bottles for each bench, and the codes that stand there."""
    stock = prepared(exam)
    rooms = tuple(
        TrayRoom(each.room, each.candidates, each.sittings, tuple((t.bench, t.codes) for t in each.trays),
                 tuple((name, str(amount)) for name, amount in each.cupboard))
        for each in room_trays(exam, stock))
    return TrayList(heading(exam), tuple((row.name, str(row.need.bottle)) for row in stock.bench_set), rooms)


def _at(label, bench):
    return replace(label, bench=bench)


def _stock_label(kb, row):
    reagent = kb.reagents[row.key]
    strength, hazards = strength_of(reagent), together([reagent.hazards], kb.labels["drops"])
    return StockLabel(
        name=reagent.name,
        strength="" if not strength or "mol/L" in reagent.name else f"{plain(strength)} mol/L",
        signal=hazards.signal, statements=_texts(kb, hazards.statements), pictograms=hazards.pictograms,
        shelf_life=reagent.shelf_life, place=row.need.place if row.need else "",
        statement_codes=hazards.statements,
    )


def _texts(kb, codes):
    return tuple(kb.statements.get(code, code) for code in codes)
